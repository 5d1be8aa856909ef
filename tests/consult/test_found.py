"""What is hidden in a simulated machine is found: a seeded sample of what `bench_found` counts.

The machines are solved with the very sizes of their faults, parts and meter a little off; bands are never looked at.
"""

from __future__ import annotations

import random
from math import comb

import pytest

from support import found
from support.found import Found
from support.hidden import SLIPPING
from support.mechanic import shipped
from support.sizes import size

CIRCUITS = tuple(shipped().circuits)
SAMPLE, SLIPPED = size(8, 30, 120), size(4, 12, 60)
PAIRS, BESIDE = size(2, 5, 30), size(2, 5, 10)
"""Machines in all; a new circuit makes no longer run."""

SEED = 11


def sample(count: int) -> list[tuple[str, str]]:
    """So many faults with which an owner would call, spread over the circuits."""
    chance = random.Random(SEED)  # noqa: S311 - no secret
    picked: list[tuple[str, str]] = []
    while len(picked) < count:
        circuit = CIRCUITS[len(picked) % len(CIRCUITS)]
        fault = chance.choice(found.hidden_in(circuit, 1.0, SEED))
        if found.called(circuit, [fault], SEED):
            picked.append((circuit, fault))
    return picked


def missed_at_most(count: int, share: float) -> int:
    """Misses of so many that a tool which misses this share has more of once in a thousand samples."""
    below, most = 0.0, -1
    while below < 0.999:
        most += 1
        below += comb(count, most) * share**most * (1 - share) ** (count - most)
    return most


def told(jobs: list[Found]) -> str:
    return "\n".join(f"{one.circuit}: {one.fault} taken for {one.suspect} ({one.chance:.2f})" for one in jobs)


@pytest.mark.slow
def test_the_true_part_is_the_first_suspect_at_the_verdict() -> None:
    """No more are missed than a tool that finds 97 of 100 may miss; and it takes at most 0.6 of the fixed order."""
    jobs = [found.find(found.hide(circuit, fault, SEED)) for circuit, fault in sample(SAMPLE)]
    wrong = [one for one in jobs if not one.right]
    assert len(wrong) <= missed_at_most(SAMPLE, 0.03), told(wrong)
    fixed = [found.by_fixed_order(found.hide(one.circuit, one.fault, SEED)) for one in jobs[:BESIDE]]
    assert sum(one.minutes for one in jobs[:BESIDE]) <= 0.6 * sum(one.minutes for one in fixed)


@pytest.mark.slow
def test_three_wrong_readings_of_a_hundred_do_not_bury_it() -> None:
    """No more are missed than a tool that then finds 90 of 100 may miss."""
    jobs = [found.find(found.hide(circuit, fault, SEED, SLIPPING)) for circuit, fault in sample(SLIPPED)]
    wrong = [one for one in jobs if not one.right]
    assert len(wrong) <= missed_at_most(SLIPPED, 0.1), told(wrong)


@pytest.mark.slow
def test_cause_and_victim_are_both_found() -> None:
    """Over whole jobs, no more are missed than a tool that finds both in 90 of 100 may miss."""
    chance = random.Random(SEED)  # noqa: S311 - no secret
    missed = []
    for circuit in chance.sample(CIRCUITS * (1 + PAIRS // len(CIRCUITS)), PAIRS):
        cause, victim = next(found.chains(circuit, SEED, chance))
        if not found.both_found(circuit, cause, victim, found.machine_of(SEED, cause, victim)):
            missed.append((circuit, cause, victim))
    assert len(missed) <= missed_at_most(PAIRS, 0.1), missed


@pytest.mark.slow
def test_one_more_fault_behind_a_cause_and_its_victim_is_found() -> None:
    """A job goes on after its repairs: what they did not mend is weighed together with what they did."""
    hidden = ["battery.reversed", "run_fuse.blown", "starter_wire.broken"]
    assert found.all_found("coded_start", hidden, found.machine_of(1, *hidden))
