"""Relays and solenoids: what pulls them in, what keeps them in, and that finding out always ends."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.checks import Reads
from coldiron.book.faults import Leaks
from coldiron.circuits import compose
from coldiron.circuits.readings import read
from coldiron.circuits.still import Solution
from coldiron.circuits.trial import Bench
from coldiron.record import replace
from support import networks

BATTERY = "battery battery battery_positive battery_negative volts=12.65 ohms=0.005\n"
LAMP = "lamp load battery_positive battery_negative ohms=20\n"


def bench_of(text: str) -> Bench:
    return Bench(compose(networks.book(networks.parse(BATTERY + text).parts), "it"))


def solved(text: str, key: str = "off") -> Solution:
    bench = bench_of(text)
    return networks.trial(bench).solution(bench.layout.state({"key": key}))


def turn(name: str, key: str, *faults: str, level: int = 1) -> tuple[float, float]:
    """Click and turn of the starter of a netlist machine."""
    bench = Bench(compose(networks.netlist_book(name), "it"))
    trial, state = networks.trial(bench, *faults, level=level), bench.layout.state({"key": key})
    return read(Reads("click", part="starter"), trial, state), read(Reads("turn", part="starter"), trial, state)


def test_a_relay_that_cuts_its_own_coil_buzzes() -> None:
    """A contact closed at rest in series with the coil: it is neither in nor out, and a meter shows the mean."""
    solution = solved("""
        buzzer rest_relay a battery_negative battery_positive a coil_ohms=20 contact_ohms=0.01 pull_in=7 drop_out=2
        """)
    assert solution.position("buzzer") == 0.5
    assert len(solution.stills) == 2
    assert solution.volts("a") == pytest.approx(12.65 / 2, abs=0.05)


def test_a_relay_fed_by_its_own_contact_is_out_until_something_else_feeds_it() -> None:
    """A holding circuit: both positions would be lasting with the key on; from rest it is the one at rest."""
    text = """
        start switch battery_positive coil ohms=0.01 key:start
        keeper relay coil battery_negative battery_positive coil coil_ohms=20 contact_ohms=0.01 pull_in=7 drop_out=2
        """
    assert solved(text, "on").position("keeper") == 0
    assert solved(text, "start").position("keeper") == 1


@pytest.mark.parametrize(("series", "on", "start"), [(30, 1, 1), (200, 0, 0), (68, 0, 0)])
def test_a_relay_pulls_in_at_its_volts_and_lets_go_lower(series: float, on: float, start: float) -> None:
    """A 40 ohm coil behind 30, 68 and 200 ohm has 7.2, 4.7 and 2.1 V; it needs 7 V to pull in."""
    text = f"""
        feed load battery_positive coil ohms={series}
        relay relay coil battery_negative battery_positive out coil_ohms=40 contact_ohms=0.01 pull_in=7 drop_out=3
        """
    assert solved(text, "on").position("relay") == on
    assert solved(text, "start").position("relay") == start


def test_a_relay_that_is_in_with_the_key_on_holds_through_the_dip_of_start() -> None:
    """At start its coil has 4.7 V: too little to pull in, enough to hold, and it was in before."""
    text = """
        plain switch battery_positive coil ohms=0.01 key:on
        poor switch battery_positive coil ohms=68 key:start
        relay relay coil battery_negative battery_positive out coil_ohms=40 contact_ohms=0.01 pull_in=7 drop_out=3
        """
    assert solved(text, "on").position("relay") == 1
    assert solved(text, "start").position("relay") == 1
    assert solved(text.replace("key:on", "key:off"), "start").position("relay") == 0


def test_reversed_polarity_pulls_a_relay_in_as_well() -> None:
    solution = solved("""
        one relay battery_negative battery_positive battery_positive out coil_ohms=9 contact_ohms=1 pull_in=7 drop_out=3
        """)
    assert solution.position("one") == 1


@pytest.mark.parametrize(
    ("fault", "click", "cranks"),
    [
        ("pull_in_open", 0.0, False),
        ("hold_in_open", 0.5, False),
        ("contact_open", 1.0, False),
        ("brushes_gone", 0.0, False),
        ("seized", 1.0, False),
        ("drive_slips", 1.0, False),
        ("welded", 0.0, True),
        ("contact_burnt", 1.0, True),
        ("heavy_oil", 1.0, True),
    ],
)
def test_what_a_bad_starter_does_at_start(fault: str, click: float, *, cranks: bool) -> None:
    """Common practice: no pull-in winding, or no way through the brushes, no pull; no hold-in winding, chatter."""
    heard, speed = turn("key_and_relay", "start", f"starter.{fault}", level=0)
    assert heard == click
    assert (speed > 0.3) == cranks


@pytest.mark.parametrize("key", ["off", "on"])
def test_a_welded_solenoid_cranks_with_the_key_off(key: str) -> None:
    assert turn("key_and_relay", key, "starter.welded")[1] > 0.9
    assert turn("key_and_relay", key) == (0.0, 0.0)


def test_a_welded_start_relay_cranks_with_the_key_off_and_gives_no_click() -> None:
    bench = Bench(compose(networks.netlist_book("key_and_relay"), "it"))
    trial, state = networks.trial(bench, "start_relay.welded"), bench.layout.state({"key": "off"})
    assert read(Reads("turn", part="starter"), trial, state) > 0.9
    assert read(Reads("click", part="start_relay"), trial, bench.layout.state({"key": "start"})) == 0


def test_a_flat_battery_chatters_and_a_worn_one_cranks_slowly() -> None:
    """Common practice."""
    heard, speed = turn("interlocks", "start", "battery.bad_weld", level=0)
    assert (heard, speed) == (0.5, 0.0)
    heard, speed = turn("interlocks", "start", "battery.worn", level=0)
    assert heard == 1
    assert 0.2 < speed < 0.95


RELAY = st.tuples(
    st.sampled_from(["relay", "rest_relay"]),
    st.lists(
        st.sampled_from("abcd") | st.sampled_from(["battery_positive", "battery_negative"]), min_size=4, max_size=4
    ),
    st.floats(1, 100),
    st.floats(0.5, 12),
    st.floats(0.05, 1),
)


@given(st.lists(RELAY, min_size=1, max_size=6), st.sampled_from(["off", "start"]))
def test_sweeps_end_for_any_relays_joined_in_any_way(
    relays: list[tuple[str, list[str], float, float, float]], key: str
) -> None:
    """Never more than 2**k positions, each visited once; the positions run through follow from one another."""
    lines = [
        f"relay{k} {acts} {' '.join(joins)} coil_ohms={ohms} contact_ohms=0.01 pull_in={pull} drop_out={pull * share}"
        for k, (acts, joins, ohms, pull, share) in enumerate(relays)
    ]
    lines.append("feed load battery_positive a ohms=2")
    solution = solved("\n".join(lines), key)
    visited = [still.positions for still in solution.stills]
    assert 1 <= len(visited) == len(set(visited)) <= 2 ** len(relays)
    for k, magnet in enumerate(solution.layout.magnets):
        same = len({positions[k] for positions in visited}) == 1
        assert solution.position(magnet.part) == (float(visited[0][k]) if same else 0.5)


def test_a_ring_of_three_buzzers_is_found_to_go_on_for_ever() -> None:
    """Each relay feeds the next one's coil through a contact closed at rest: an odd ring has no rest."""
    solution = solved("""
        one rest_relay a battery_negative battery_positive b coil_ohms=20 contact_ohms=0.01 pull_in=7 drop_out=2
        two rest_relay b battery_negative battery_positive c coil_ohms=20 contact_ohms=0.01 pull_in=7 drop_out=2
        three rest_relay c battery_negative battery_positive a coil_ohms=20 contact_ohms=0.01 pull_in=7 drop_out=2
        """)
    assert solution.pulled == (0.5, 0.5, 0.5)


def test_a_part_can_leak_from_end_to_end() -> None:
    """A lamp of 20 ohm on 12.65 V; past it 1 ohm takes the battery down as far, written by its end or by its point."""
    plain = compose(networks.book(networks.parse(BATTERY + LAMP).parts), "it")
    load = plain.book.kinds["load"]
    fallen = []
    for to in (load.ends[1], "battery_negative"):
        wet = networks.fault("wet", Leaks(load.ends[0], to, 1.0, 1.0))
        bench = Bench(
            compose(replace(plain.book, kinds={**plain.book.kinds, "load": replace(load, faults=(wet,))}), "it")
        )
        state = bench.layout.state({"key": "off"})
        volts = [
            networks.trial(bench, *faults).solution(state).volts("battery_positive") for faults in ((), ("lamp.wet",))
        ]
        fallen.append(volts[0] - volts[1])
    assert fallen[0] == fallen[1] > 0.05
