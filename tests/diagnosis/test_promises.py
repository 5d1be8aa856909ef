"""What a check promises to settle, it settles on average, whatever the faults of a set hide of each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from math import exp, log2
from statistics import mean

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.choice.choice import choose
from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.pool import first_work
from coldiron.choice.ranking import rank
from coldiron.inference.belief import Belief
from coldiron.inference.cells import SOUND
from coldiron.inference.descent import Link
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.judging.judgement import Judgement
from support.fault_tables import CellTable, random_cells, random_model, seeded, subsets
from support.promised import drawn, worked

MACHINES = ("start_relay", "isolator_24")
JOBS = 2
"""How many jobs on each."""


def doubt(belief: Belief, first: Mapping[tuple[str, ...], str]) -> float:
    """The entropy of the repair that comes first, as it was before; what is not in the book has no place in it."""
    shares: dict[str, float] = {}
    for faults, chance in belief.sets:
        if faults in first:
            shares[first[faults]] = shares.get(first[faults], 0.0) + chance
    total = sum(shares.values())
    return -sum(share / total * log2(share / total) for share in shares.values() if share > 0)


def settles(judge: Judge, evidence: Evidence, check: str) -> float:
    """Bits that a check settles on average over its findings, each judged anew with all the evidence."""
    before = judge.belief(evidence)
    first = {faults: first_work(faults, before, judge.model) for faults, _ in before.sets}
    left = whole = 0.0
    for finding in range(len(judge.cells.row(check, SOUND))):
        reading = Reading(check, finding, epoch=len(evidence.repairs))
        after = judge.belief(replace(evidence, readings=(*evidence.readings, reading)))
        chance = exp(after.evidence - before.evidence) * (1 - after.unknown) / (1 - before.unknown)
        left, whole = left + chance * doubt(after, first), whole + chance
    return doubt(before, first) - left / whole


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 10_000))
def test_every_ranked_check_promises_what_it_settles(seed: int) -> None:
    """On random books whose sets of faults show what none of their faults shows, and hide what they show."""
    rng = seeded(seed)
    model = random_model(rng, 4, floor=0.0)
    judge = Judge(model, random_cells(rng, model.odds, checks=5))
    evidence = Evidence((Reading("check_0", 0),))
    offers = [Offer(f"check_{number}", 5.0) for number in range(1, 5)]
    for entry in rank(judge.pool(judge.belief(evidence)), offers, Ways()):
        assert entry.bits == pytest.approx(settles(judge, evidence, entry.offer.check), abs=0.03)


def test_amps_are_not_looked_for_through_a_blown_fuse() -> None:
    """One fault at a time the clamp tells more than the lamp; where the fuse is blown, no amps tell of the short."""
    model = FaultModel(
        odds={"short": 1.0, "fuse": 1.0, "coil": 1.0}, links=(Link("short", "fuse", 0.9),), sizes=(0.9, 0.1)
    )
    clamp, lamp = {}, {}
    for faults in subsets(model.odds):
        clamp[faults] = (0.99, 0.01) if "short" in faults and "fuse" not in faults else (0.01, 0.99)
        lamp[faults] = (0.85, 0.15) if "short" in faults else (0.15, 0.85)
    fuse = {faults: (0.999, 0.001) if "fuse" in faults else (0.001, 0.999) for faults in subsets(model.odds)}
    judge = Judge(model, CellTable({"clamp": clamp, "lamp": lamp, "fuse_look": fuse}))
    belief = judge.belief(Evidence((Reading("fuse_look", 0),)))
    choice = choose(judge, belief, [Offer("clamp", 3.0), Offer("lamp", 3.0)], Ways())
    assert choice is not None
    assert choice.check == "lamp"


@cache
def kept() -> list[tuple[float, float]]:
    """Bits promised and settled by the checks offered on the shipped book, a cause and its victim hidden in each."""
    found: list[tuple[float, float]] = []

    def look(judged: Judgement, check: str) -> None:
        choice = judged.choice
        if choice is not None and choice.check == check:
            found.append((choice.bits, settles(judged.judge, judged.evidence, check)))

    for circuit in MACHINES:
        for pair in drawn(circuit, JOBS, seed=2):
            worked(pair, 1, look)
    return found


def test_promised_and_settled_agree_over_random_causes_and_victims() -> None:
    """On average over all checks that were offered."""
    promised, settled = (mean(side) for side in zip(*kept(), strict=True))
    assert settled == pytest.approx(promised, rel=0.1)


def test_hardly_a_check_is_offered_that_has_no_effect() -> None:
    """One that settles less than a tenth of what it promised has none."""
    idle = sum(settled < promised / 10 for promised, settled in kept())
    assert idle <= 0.05 * len(kept())


def test_worth_is_a_share_of_the_doubt() -> None:
    """Of two equal causes a bit is all of the doubt, half a bit half; what is not in the book is doubt as well."""
    even = FaultModel(odds={"a": 1.0, "b": 1.0}, sizes=(1.0,), unknown=0.0)
    judge = Judge(even, CellTable({}))
    pool = judge.pool(judge.belief(Evidence()))
    assert pool.settled(1.0) == pytest.approx(1.0)
    assert pool.settled(0.5) == pytest.approx(0.5)
    judge = Judge(replace(even, unknown=0.5), CellTable({}))
    pool = judge.pool(judge.belief(Evidence()))
    assert pool.doubt == pytest.approx(1.5)
    assert pool.settled(1.0) == pytest.approx(1 / 3)
