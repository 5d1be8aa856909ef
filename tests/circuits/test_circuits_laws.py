"""Laws of circuits that hold whatever the parts are, and circuits a pencil can solve."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.checks import Reads
from coldiron.book.machines import Part
from coldiron.circuits import compose
from coldiron.circuits.layout import LEAK_SIEMENS
from coldiron.circuits.ports import settle
from coldiron.circuits.readings import amps_through, read
from coldiron.circuits.still import Solution
from coldiron.circuits.trial import Bench
from support import networks

POINTS = ["battery_positive", "battery_negative", "a", "b", "c", "d", "e"]


def parts(text: str) -> tuple[Part, ...]:
    return networks.parse(text).parts


def solved(found: Sequence[Part], key: str = "off") -> Solution:
    bench = Bench(compose(networks.book(found), "it"))
    return networks.trial(bench).solution(bench.layout.state({"key": key}))


@st.composite
def machines(
    draw: st.DrawFn, *, acts: Sequence[str] = ("load", "load", "fuse", "relay", "rest_relay", "starter")
) -> list[Part]:
    """A battery and up to ten parts between seven points, ohms from 1e-4 to 1e6."""
    lines = ["battery battery battery_positive battery_negative volts=12.65 ohms=0.005"]
    point = st.sampled_from(POINTS)
    for number in range(draw(st.integers(1, 10))):
        how = draw(st.sampled_from(acts))
        joins = " ".join(draw(point) for _ in range(4 if how in {"relay", "rest_relay", "starter"} else 2))
        ohms = 10 ** draw(st.floats(-4, 6))
        pull = draw(st.floats(0.5, 12))
        values = {
            "load": f"ohms={ohms}",
            "fuse": f"ohms={ohms} amps=10",
            "starter": "pull_in_ohms=0.25 hold_in_ohms=0.9 armature_ohms=0.01 contact_ohms=0.0003 crank_amps=240"
            f" crank_volts=10.4 pull_in={pull} drop_out={pull / 2}",
        }.get(
            how,
            f"coil_ohms={max(ohms, 0.1)} contact_ohms=0.003 pull_in={pull} drop_out={pull * draw(st.floats(0.1, 1))}",
        )
        lines.append(f"part{number} {how} {joins} {values}")
    return list(parts("\n".join(lines)))


@given(machines())
def test_kirchhoffs_current_law_at_every_point(found: list[Part]) -> None:
    """Amps that come to a point leave it, to a billionth of those that flow; a battery gives the volts of its curve."""
    solution = solved(found)
    layout = solution.layout
    for still in solution.stills:
        balance = [-LEAK_SIEMENS * volts for volts in still.volts]
        most = 1.0
        flows = [
            (*ends, (still.volts[ends[0]] - still.volts[ends[1]]) * siemens)
            for ends, siemens in zip(layout.rows, still.siemens, strict=True)
        ]
        for port, amps in zip(layout.batteries, still.ports.amps, strict=True):
            cell = solution.conditions[port.part].cell
            assert cell is not None
            given_ = cell.volts - cell.ohms * amps - 0.35 * amps / (abs(amps) + 40)
            assert still.volts[port.a] - still.volts[port.b] == pytest.approx(given_, abs=1e-7)
        flows += [(port.b, port.a, amps) for port, amps in zip(layout.batteries, still.ports.amps, strict=True)]
        for port, runs in zip(layout.motors, still.ports.running, strict=True):
            motor = solution.conditions[port.part].motor
            assert motor is not None
            assert motor.ohms is not None
            over = still.volts[port.a] - still.volts[port.b]
            flows.append((port.a, port.b, motor.amps if runs else over / motor.ohms))
            assert runs == (over >= motor.amps * motor.ohms)
        for a, b, amps in flows:
            balance[a] -= amps
            balance[b] += amps
            most = max(most, abs(amps))
        assert max(abs(amps) for amps in balance[:-1]) <= 1e-8 * most


@given(machines(acts=("load", "fuse")), st.integers(0, 9), st.floats(1, 1e4))
def test_more_ohms_anywhere_never_draw_more_from_the_battery(found: list[Part], which: int, times: float) -> None:
    """Rayleigh's law."""
    number = 1 + which % (len(found) - 1)
    worse = replace(found[number], values={**found[number].values, "ohms": found[number].values["ohms"] * times})
    before = solved(found).stills[0].ports.amps[0]
    after = solved([*found[:number], worse, *found[number + 1 :]]).stills[0].ports.amps[0]
    assert after <= before * (1 + 1e-9) + 1e-9


@given(machines(), st.randoms(use_true_random=False))
def test_the_order_of_parts_changes_nothing(found: list[Part], shuffle: random.Random) -> None:
    """Volts of every point and positions of all relays."""
    mixed = found[:]
    shuffle.shuffle(mixed)
    one, other = solved(found), solved(mixed)
    for point in one.layout.machine.points:
        assert one.volts(point) == pytest.approx(other.volts(point), rel=1e-6, abs=1e-6)
    for magnet in one.layout.magnets:
        assert one.position(magnet.part) == other.position(magnet.part)


def test_a_divider() -> None:
    """12.65 V over 2, 3 and 5 ohm, no load but that: 8/10 and 5/10 of what the battery gives."""
    solution = solved(
        parts("""
        battery battery battery_positive battery_negative volts=12.65 ohms=0.01
        one load battery_positive a ohms=2
        two load a b ohms=3
        three load b battery_negative ohms=5
        """)
    )
    given_ = solution.volts("battery_positive")
    amps = given_ / 10
    assert given_ == pytest.approx(12.65 - 0.01 * amps - 0.35 * amps / (amps + 40), rel=1e-8)
    assert solution.volts("a") == pytest.approx(0.8 * given_, rel=1e-8)
    assert solution.volts("b") == pytest.approx(0.5 * given_, rel=1e-8)


@pytest.mark.parametrize(("arms", "detector"), [((100, 200, 150, 400), 50), ((1, 2, 3, 4), 5), ((10, 20, 30, 60), 40)])
def test_wheatstones_bridge(arms: tuple[float, float, float, float], detector: float) -> None:
    """Detector amps by the textbook formula: E (R2 R3 - R1 R4) / (Rg (R1+R2)(R3+R4) + R1 R2 (R3+R4) + R3 R4 (R1+R2)).

    R1 and R2 are the upper and lower arm on the one side, R3 and R4 on the other; the third bridge is balanced.
    """
    r1, r2, r3, r4 = arms
    solution = solved(
        parts(f"""
        battery battery battery_positive battery_negative volts=12.65 ohms=0.000001
        r1 load battery_positive a ohms={r1}
        r2 load a battery_negative ohms={r2}
        r3 load battery_positive b ohms={r3}
        r4 load b battery_negative ohms={r4}
        meter load a b ohms={detector}
        """)
    )
    emf = solution.volts("battery_positive")
    hand = emf * (r2 * r3 - r1 * r4) / (detector * (r1 + r2) * (r3 + r4) + r1 * r2 * (r3 + r4) + r3 * r4 * (r1 + r2))
    assert amps_through(solution, solution.stills[0], "meter") == pytest.approx(hand, rel=1e-7, abs=1e-9)


def test_a_dead_short_gives_what_the_battery_can() -> None:
    """12.65 V into a microohm: I (0.005 + 0.000001) + 0.35 I / (I + 40) = 12.65, the root by hand is 2460.6 A."""
    found = parts("""
        battery battery battery_positive battery_negative volts=12.65 ohms=0.005
        bar fuse battery_positive battery_negative ohms=0.000001 amps=100
        """)
    amps = solved(found).stills[0].ports.amps[0]
    assert amps == pytest.approx(2460.6, abs=0.05)
    assert amps * 0.005001 + 0.35 * amps / (amps + 40) == pytest.approx(12.65, rel=1e-9)


def test_a_good_battery_in_parallel_charges_a_flat_one() -> None:
    """The amps of the two are equal and opposite."""
    found = parts("""
        flat battery battery_positive battery_negative volts=10.5 ohms=0.02
        good battery plus battery_negative volts=12.65 ohms=0.005
        lead fuse plus battery_positive ohms=0.001 amps=100
        """)
    flat, good = solved(found).stills[0].ports.amps
    assert flat == pytest.approx(-good, rel=1e-6)
    lost = 0.35 * good / (good + 40)
    assert good * 0.026 + 2 * lost == pytest.approx(2.15, rel=1e-8)


@given(st.lists(st.tuples(st.floats(0, 30), st.floats(1e-6, 0.1)), min_size=2, max_size=4))
def test_batteries_in_parallel_always_settle(sorts: list[tuple[float, float]]) -> None:
    """Whatever their volts and inner ohms, their amps add up to nothing."""
    lines = [
        f"battery{k} battery battery_positive battery_negative volts={volts} ohms={ohms}"
        for k, (volts, ohms) in enumerate(sorts)
    ]
    amps = solved(parts("\n".join(lines))).stills[0].ports.amps
    assert sum(amps) == pytest.approx(0, abs=1e-4 + 1e-6 * max(map(abs, amps)))


def test_a_reading_through_the_whole_way_back() -> None:
    """Volts from a to b are minus those from b to a."""
    bench = Bench(compose(networks.netlist_book("interlocks"), "it"))
    state, trial = bench.layout.state({"key": "start"}), networks.trial(bench, "start_relay.burnt", level=2)
    there = read(Reads("volts", "fuse_panel", "starter_s"), trial, state)
    assert there == -read(Reads("volts", "starter_s", "fuse_panel"), trial, state)


def test_where_newtons_rule_would_swing_for_ever_chords_close_in() -> None:
    """A dead battery of 1 milliohm across a bar, looked for from 250 A: the tangents throw it from side to side."""
    bench = Bench(
        compose(
            networks.book(
                parts("""
                battery battery battery_positive battery_negative volts=0 ohms=0.001
                bar fuse battery_positive battery_negative ohms=0.000001 amps=100
                """)
            ),
            "it",
        )
    )
    solver = bench.solver
    sound = solver._sound_in(bench.layout.state({}).closed, ())
    volts, ports = settle(solver._kept(sound.factor, sound.held, solver.healthy, ()), [250.0], [])
    assert ports.chord
    assert ports.amps == pytest.approx([0.0], abs=1e-6)
    assert volts == pytest.approx([0.0] * len(volts), abs=1e-9)
