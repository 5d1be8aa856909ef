"""A simulated machine answers as a real one would, whatever the book says its readings mean."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from math import isinf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.book.book import Book
from coldiron.book.checks import Band, Check
from coldiron.circuits import Machine, Predictor, compose
from coldiron.circuits.bands import finding_of, scale
from coldiron.circuits.simulated import PERFECT, Manner, SimulatedMachine
from support.mechanic import shipped

CAREFUL = Manner(wrong=0.0)
"""Real parts and a real meter, and nobody errs."""

MANY = 200
"""Machines over which a share is counted: its usual deviation is then at most 3.5 in 100."""

CIRCUITS = st.sampled_from(sorted(shipped().circuits))
SEEDS = st.integers(0, 10**9)


@cache
def machine(circuit: str) -> Machine:
    return compose(shipped(), circuit)


@st.composite
def hidden(draw: st.DrawFn) -> tuple[str, frozenset[str]]:
    """A shipped circuit and up to three faults of it."""
    circuit = draw(CIRCUITS)
    names = draw(st.lists(st.sampled_from(sorted(machine(circuit).faults)), max_size=3))
    return circuit, frozenset(names)


def solved(circuit: str) -> list[Check]:
    found = [shipped().checks[name] for name in machine(circuit).checks]
    return [check for check in found if check.reads.quantity != "eye"]


def elsewhere(book: Book) -> Book:
    """The book with every band moved, every finding renamed, and no sign declared for any fault."""
    checks = {}
    for name, check in book.checks.items():
        findings = [
            replace(one, id=f"other_{one.id}", bands=tuple(Band(b.low + 7, b.high + 90) for b in one.bands))
            for one in check.findings
        ]
        checks[name] = replace(check, findings=tuple(findings[::-1]), good=f"other_{check.good}")
    kinds = {
        name: replace(kind, faults=tuple(replace(fault, shows=()) for fault in kind.faults))
        for name, kind in book.kinds.items()
    }
    return replace(book, checks=checks, kinds=kinds)


@settings(max_examples=15)
@given(CIRCUITS, SEEDS)
def test_a_sound_machine_reads_good_whatever_its_parts(circuit: str, seed: int) -> None:
    """Spread of parts and error of the meter leave every check of a machine without faults in its good finding.

    But for the standing current where an equaliser joins two batteries: they differ, and it makes up for it.
    """
    sound = SimulatedMachine(machine(circuit), (), seed, CAREFUL)
    for name in machine(circuit).checks:
        if name == "standing_current" and "equaliser" in machine(circuit).parts:
            continue
        check, shown = shipped().checks[name], sound.answer(name)
        if shown.number is None:
            assert shown.sign == check.good
        else:
            bands = scale(check, machine(circuit).volts, machine(circuit).batteries)
            assert check.findings[finding_of(bands, shown.number)].id == check.good, (name, shown.number)


@settings(max_examples=15)
@given(hidden(), SEEDS)
def test_answers_hang_on_the_seed_and_not_on_the_order(job: tuple[str, frozenset[str]], seed: int) -> None:
    circuit, faults = job
    names = list(machine(circuit).checks)
    one = SimulatedMachine(machine(circuit), sorted(faults), seed, Manner(beyond_reach=0.2))
    first = {name: one.answer(name) for name in names}
    random.Random(seed).shuffle(names)  # noqa: S311 - no secret
    other = SimulatedMachine(machine(circuit), faults, seed, Manner(beyond_reach=0.2))
    assert {name: other.answer(name) for name in names} == first
    assert {name: one.answer(name) for name in names} == first


@settings(max_examples=15)
@given(hidden(), SEEDS)
def test_numbers_do_not_hang_on_what_the_book_makes_of_them(job: tuple[str, frozenset[str]], seed: int) -> None:
    """With other bands, other findings and no declared sign every meter, lamp and ear gets the same, misread too."""
    circuit, faults = job
    manner = Manner(wrong=5.0)
    here = SimulatedMachine(machine(circuit), faults, seed, manner)
    there = SimulatedMachine(compose(elsewhere(shipped()), circuit), faults, seed, manner)
    for check in solved(circuit):
        assert here.answer(check.id) == there.answer(check.id)


@settings(max_examples=15)
@given(hidden())
def test_a_perfect_hand_reads_what_is_predicted(job: tuple[str, frozenset[str]]) -> None:
    """With usual parts, no error, and one fault in the middle of its range it is the middle value of the predictor."""
    circuit, faults = job
    single = frozenset(sorted(faults)[:1])
    predictor = Predictor(machine(circuit))
    perfect = SimulatedMachine(machine(circuit), single, 0, PERFECT, dict.fromkeys(single, 0.5))
    for check in solved(circuit):
        values = predictor.values(check.id, single)
        shown = perfect.answer(check.id).number
        assert shown is not None
        assert shown == pytest.approx(values[len(values) // 2], rel=1e-6, abs=1e-7)


def test_ghost_volts_show_on_a_meter_and_not_under_a_lamp() -> None:
    """Behind a fuse in a burnt grip a meter shows the battery and a 21 W lamp stays dark (common practice)."""
    job = SimulatedMachine(machine("start_relay"), ["key_fuse.burnt_grip"], 3, PERFECT, {"key_fuse.burnt_grip": 1.0})
    assert job.answer("rest_volts").number == pytest.approx(12.65, abs=0.05)
    volts, lamp = job.answer("key_feed_volts").number, job.answer("key_feed_lamp").number
    assert volts is not None
    assert lamp is not None
    assert volts > 12.0
    assert lamp < 0.25


def test_the_same_probes_in_another_state() -> None:
    """The S terminal is dead with the key off and live at START."""
    job = SimulatedMachine(machine("start_relay"), (), 0, PERFECT)
    reads = shipped().checks["s_terminal_volts"].reads
    assert job.solved(reads, {}) == pytest.approx(0.0, abs=0.01)
    assert job.solved(reads, {"key": "start"}) > 8


def test_readings_go_wrong_as_often_as_the_check_says() -> None:
    """Over many machines; and every wrong reading of a sound machine is one of those its probes could give."""
    check = shipped().checks["key_feed_lamp"]
    often = Manner(spread=0.0, meter=0.0, wrong=0.3 / check.wrong, always=True)
    right = SimulatedMachine(machine("start_relay"), (), 0, PERFECT).answer(check.id)
    jobs = [SimulatedMachine(machine("start_relay"), (), seed, often) for seed in range(MANY)]
    wrong = [shown for shown in (job.answer(check.id) for job in jobs) if shown != right]
    assert len(wrong) / MANY <= 0.4
    assert len(wrong) / MANY >= 0.05


def test_a_reading_made_again_is_wrong_by_itself() -> None:
    """One hand errs as often as it is told to, whatever the check declares; the second time it errs anew."""
    slips = Manner(spread=0.0, meter=0.0, always=True, slips=0.2)
    right = SimulatedMachine(machine("start_relay"), (), 0, PERFECT).answer("clamp_look.positive_joint")
    jobs = [SimulatedMachine(machine("start_relay"), (), seed, slips) for seed in range(MANY)]
    first, second = ([job.answer("clamp_look.positive_joint", again) != right for job in jobs] for again in (0, 1))
    assert sum(first) / MANY == pytest.approx(0.2, abs=0.09)
    assert sum(second) / MANY == pytest.approx(0.2, abs=0.09)
    assert sum(map(min, first, second)) / MANY <= 0.1


def test_what_cannot_be_reached_stays_so() -> None:
    """A share of the checks gives nothing, before a repair and after it."""
    names = machine("isolator_24").checks
    job = SimulatedMachine(machine("isolator_24"), (), 5, Manner(beyond_reach=0.3))
    missed = [name for name in names if not job.answer(name).reached]
    assert 0.1 <= len(missed) / len(names) <= 0.5
    job.mend("run_link.blown")
    assert [name for name in names if not job.answer(name).reached] == missed


def test_a_fault_comes_and_goes_between_repairs() -> None:
    """It shows as often as the book says, holds for one stretch between two repairs, and may be gone in the next."""
    fault = "starter.contacts_dead"
    share = machine("start_relay").faults[fault].what.shows_now
    jobs = [SimulatedMachine(machine("start_relay"), [fault], seed) for seed in range(MANY)]
    showing = [bool(job.showing) for job in jobs]
    assert showing == [bool(job.showing) for job in jobs]
    assert sum(showing) / MANY == pytest.approx(share, abs=0.1)
    for job in jobs:
        job.mend("key_fuse.blown")
    assert [bool(job.showing) for job in jobs] != showing
    assert all(SimulatedMachine(machine("start_relay"), [fault], 1, PERFECT).showing for _ in range(2))


def test_a_repair_takes_its_fault_away() -> None:
    """With the relay ground off the S terminal is dead at START; with it back, live. Others stay."""
    job = SimulatedMachine(
        machine("start_relay"), ["relay_ground.off", "battery.half"], 0, PERFECT, {"battery.half": 0.0}
    )
    assert job.answer("s_terminal_volts").number == pytest.approx(0.0, abs=0.1)
    job.mend("relay_ground.off")
    assert job.present == {"battery.half"}
    assert (job.answer("s_terminal_volts").number or 0) > 7


def test_an_open_line_has_infinite_ohms() -> None:
    shown = SimulatedMachine(machine("start_relay"), (), 0, CAREFUL).answer("dead_side_ohms.main_link").number
    assert shown is not None
    assert isinf(shown) or shown > 50


def test_eyes_see_the_worst_sign_of_what_is_there() -> None:
    """Each as often as declared; no sign without a fault, and a misreading is another sign."""
    check, fault = "clamp_look.positive_joint", "positive_joint.left_off"
    seen = [SimulatedMachine(machine("start_relay"), [fault], seed, CAREFUL).answer(check) for seed in range(MANY)]
    assert sum(one.sign == "turns" for one in seen) / MANY == pytest.approx(0.98, abs=0.03)
    astray = Manner(wrong=1 / shipped().checks[check].wrong)
    sound = SimulatedMachine(machine("start_relay"), (), 2, astray).answer(check)
    assert sound.sign != shipped().checks[check].good


def test_a_strange_fault_or_check_is_refused() -> None:
    with pytest.raises(KeyError):
        SimulatedMachine(machine("start_relay"), ["nothing.wrong"], 0)
    with pytest.raises(KeyError):
        SimulatedMachine(machine("start_relay"), (), 0).answer("nothing")
