"""What meters, lamps, clamps, ears and eyes get from a solved machine."""

from __future__ import annotations

import math
from collections.abc import Iterable

import pytest

from coldiron.book.checks import Check, Quantity, Reads
from coldiron.circuits import compose
from coldiron.circuits.readings import read
from coldiron.circuits.trial import Bench
from support import networks
from support.elements import Elements, Resistor, elements
from support.tableau import solve

BATTERY = "battery battery battery_positive battery_negative volts=12.65 ohms=0.005\n"


def bench_of(text: str, checks: Iterable[Check] = (), volts: int = 12) -> Bench:
    parts = networks.parse(BATTERY + text).parts
    return Bench(compose(networks.book(parts, checks=checks, volts=volts), "it"))


def one(bench: Bench, quantity: Quantity, a: str = "", b: str = "", *, part: str = "", **state: str) -> float:
    return read(Reads(quantity, a, b, part), networks.trial(bench), bench.layout.state(state))


GHOSTS = """
0.05    12.65 12.6
1       12.65 11.1
10      12.65  5.2
100     12.65  0.8
1000    12.65  0.1
100000  12.5   0.0
1000000 11.5   0.0
"""
"""Ohms of a bad joint, what a 10 Mohm meter shows behind it, and the volts of a 21 W lamp there. Common practice,
solved with an independent node solver and printed to 0.1 V (0.05 V at the full 12.65)."""


@pytest.mark.parametrize("row", GHOSTS.strip().splitlines(), ids=lambda row: row.split()[0])
def test_ghost_volts_show_on_a_meter_and_not_on_a_lamp(row: str) -> None:
    """A bad joint of R ohm passes a meter's microamps; a lamp tells."""
    ohms, meter, lamp = (float(word) for word in row.split())
    bench = bench_of(
        f"joint load battery_positive there ohms={ohms}", [networks.check("lit", "lamp", "there", "battery_negative")]
    )
    assert one(bench, "volts", "there", "battery_negative") == pytest.approx(meter, abs=0.06)
    assert one(bench, "lamp", "there", "battery_negative") * 12 == pytest.approx(lamp, abs=0.07)


@pytest.mark.parametrize("ohms", [1e3, 1e6, 1e8])
def test_the_meters_load_is_that_of_ten_megohm(ohms: float) -> None:
    """Against the network with a 10 Mohm resistor in it, solved as a tableau; both probes off the reference."""
    bench = bench_of(f"one load battery_positive a ohms={ohms}\ntwo load b battery_negative ohms={ohms * 2}")
    found = elements(bench.layout.machine, {}, (), 1, {})
    loaded = Elements((*found.resistors, Resistor("a", "b", 10e6, "meter")), found.batteries, ())
    volts = solve(loaded, bench.layout.machine.points)
    assert one(bench, "volts", "a", "b") == pytest.approx(volts["a"] - volts["b"], rel=1e-5)


@pytest.mark.parametrize("key", networks.KEY)
@pytest.mark.parametrize("name", networks.NAMES)
def test_every_volt_reading_is_that_of_the_network_with_the_meter_in_it(name: str, key: str) -> None:
    """Also where a point hangs loose or the load of the meter counts; sound and with some opens. Within 0.1 %."""
    bench = Bench(compose(networks.netlist_book(name), "it"))
    machine = bench.layout.machine
    opens = [fault for fault in machine.faults if fault.endswith((".broken", ".blown", ".wet"))][:12]
    for faults in [(), *((fault,) for fault in opens)]:
        trial, state = networks.trial(bench, *faults, level=1), bench.layout.state({"key": key})
        still = trial.solution(state).stills[0]
        positions = dict(zip((m.part for m in bench.layout.magnets), still.positions, strict=True))
        found = elements(machine, {"key": key}, faults, 1, positions)
        for a in machine.points[::4]:
            meter = Resistor(a, "frame", 10e6, "meter")
            volts = solve(Elements((*found.resistors, meter), found.batteries, found.motors), machine.points)
            got = read(Reads("volts", a, "frame"), trial, state)
            assert got == pytest.approx(volts[a] - volts["frame"], rel=1e-3, abs=1e-3), (faults, a)


def test_a_lamp_loads_what_it_lights() -> None:
    """Behind a contact of 7 ohm it has half of the volts; where it starves the coil that feeds it, the relay buzzes."""
    lit = networks.check("lit", "lamp", "out", "battery_negative")
    coil = "relay relay a battery_negative {} out coil_ohms=40 contact_ohms=7 pull_in=7 drop_out=6"
    plain = bench_of("feed load battery_positive a ohms=0.1\n" + coil.format("battery_positive"), [lit])
    assert one(plain, "lamp", "out", "battery_negative") * 12 == pytest.approx(12.6 / 2, abs=0.05)
    starved = bench_of("feed load battery_positive a ohms=15\n" + coil.format("a"), [lit])
    path = starved.layout.lamp["out", "battery_negative"]
    assert networks.trial(starved).with_lamp(starved.layout.state({}), path, 1 / 7).position("relay") == 0.5


def test_a_24_volt_lamp_has_four_times_the_ohms() -> None:
    """21 W at 24 V: behind 28 ohm it has half of the 12.65 V of this battery."""
    bench = bench_of("j load battery_positive a ohms=28", [networks.check("lit", "lamp", "a", "battery_negative")], 24)
    assert one(bench, "lamp", "a", "battery_negative") * 24 == pytest.approx(12.65 / 2, rel=1e-3)


def test_ohms_of_parts_in_series_and_of_an_open_line() -> None:
    """With the battery off: 0.2 ohm and 80 ohm in series, an open switch, and 25 Mohm that no ohmmeter shows."""
    bench = bench_of("""
        lead switch battery_positive a ohms=0.001 battery_lead:on
        wire load a b ohms=0.2
        coil load b frame ohms=80
        switch switch a c ohms=0.01 key:start
        wet load a d ohms=25000000
        """)
    off = {"battery_lead": "off"}
    assert one(bench, "ohms", "a", "frame", **off) == pytest.approx(80.2, rel=1e-4)
    assert one(bench, "ohms", "frame", "a", **off) == pytest.approx(80.2, rel=1e-4)
    assert one(bench, "ohms", "a", "b", **off) == pytest.approx(0.2, rel=1e-4)
    assert one(bench, "ohms", "c", "frame", **off) == math.inf
    assert one(bench, "ohms", "d", "a", **off) == math.inf


def test_ohms_across_live_points_are_nonsense() -> None:
    """12 V that are there already make thousands of ohms of nothing, with their sign."""
    bench = bench_of("load load battery_positive battery_negative ohms=100")
    assert one(bench, "ohms", "battery_positive", "battery_negative") > 1e4
    assert one(bench, "ohms", "battery_negative", "battery_positive") < -1e4


def test_amps_have_the_sign_of_the_part_and_come_out_of_a_battery() -> None:
    """A clamp on the feed reads plus, on a part laid the other way minus, on a wire of no current 0."""
    bench = bench_of("""
        there load battery_positive a ohms=5
        back load battery_negative a ohms=5
        idle load a loose ohms=1
        """)
    amps = one(bench, "amps", part="there")
    assert amps == pytest.approx(1.263, abs=0.005)
    assert one(bench, "amps", part="back") == pytest.approx(-amps, rel=1e-6)
    assert one(bench, "amps", part="battery") == pytest.approx(amps, rel=1e-6)
    assert one(bench, "amps", part="idle") == pytest.approx(0, abs=1e-6)


def test_amps_of_a_dead_battery_are_none() -> None:
    bench = bench_of("load load battery_positive battery_negative ohms=5")
    trial = networks.trial(bench, "battery.broken_inside")
    assert read(Reads("amps", part="battery"), trial, bench.layout.state({})) == 0


def test_glow_is_the_share_of_nominal_volts_on_the_lamp_itself() -> None:
    """Ohms in its holder take their share; a burnt-out lamp is dark; polarity does not matter."""
    bench = bench_of("lamp load battery_negative battery_positive ohms=6")
    state = bench.layout.state({})
    reads = Reads("glow", part="lamp")
    assert read(reads, networks.trial(bench), state) == pytest.approx(12.6 / 12, abs=0.01)
    assert read(reads, networks.trial(bench, "lamp.burnt_out"), state) == 0


def test_eyes_are_not_solved() -> None:
    bench = bench_of("lamp load battery_negative battery_positive ohms=6")
    with pytest.raises(ValueError, match="eyes"):
        one(bench, "eye")


def test_a_point_the_machine_lacks_is_refused() -> None:
    bench = bench_of("lamp load battery_negative battery_positive ohms=6")
    with pytest.raises(ValueError, match="no point elsewhere"):
        one(bench, "volts", "elsewhere", "battery_negative")
