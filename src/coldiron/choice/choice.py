"""The next check: most is learnt about which repair comes first, per minute it takes; and when to stop asking."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.order import planned
from coldiron.choice.pool import Pool, Prospect
from coldiron.choice.ranking import Ranked
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence
from coldiron.record import dataclass, replace

NEAR = 1e-9
"""Scores, bits and minutes that differ by no more than this are equal."""

LEAST = 0.03
"""The share of the doubt that a check has to settle at least."""

STUCK = 3
STILL = 0.02
"""So many readings that moved no leading fault by more than this chance are a sign that asking leads nowhere ..."""

LEAST_STUCK = 0.04
"""... and then a check has to settle this share for every one of them."""

MOST_IDLE = 8
LEADS = 3
"""No more of them are counted, and by no more leading faults."""

MOST_CHECKS = 40
"""After so many checks no more is offered: the job has gone on for long enough."""

ENDLESS = 1e9
"""More than any check settles."""

Why = Literal["tells less", "takes longer", "tells less and takes longer", "less preferred", "later in the plan", "tie"]


@dataclass(frozen=True, slots=True)
class Foresight:
    """What one finding would do: its chance, and the parts to repair first after it, likeliest first.

    A fault that is not in the book is left out; "." stands for a sound machine.
    """

    finding: int
    chance: float
    parts: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class RunnerUp:
    """The check that came second, and what it lost by."""

    check: str
    bits: float
    minutes: float
    why: Why


@dataclass(frozen=True, slots=True)
class NextCheck:
    """The next check and why it was chosen.

    Attributes:
        check: Id of the check.
        bits: What it tells about which repair comes first.
        minutes: What it takes from the present state of the machine, reaching its state and area included.
        reach: The part of `minutes` that goes into reaching its state and area.
        method: "plan" if the whole order of checks was worked out, "pays" if doing it first was found to cost less
            than repairing now, "gain" if it tells most per minute.
        with_it: A check of the same state and area that makes reaching it pay, or empty.
        foresight: What each finding would do.
        runner_up: The next best, or None if no other check tells anything.
    """

    check: str
    bits: float
    minutes: float
    reach: float
    method: Literal["plan", "pays", "gain"]
    with_it: str
    foresight: tuple[Foresight, ...]
    runner_up: RunnerUp | None


def choose(
    judge: Judge, belief: Belief, offers: Sequence[Offer], ways: Ways, pays: str = "", *, least: float = 0.0
) -> NextCheck | None:
    """The best of the offered checks, or None if none of them settles `least` of the doubt. Equal ones go by id.

    `pays` is the check that `decide` found to be worth more than repairing now, if it did.
    """
    pool = judge.pool(belief)
    ranked = judge.ranked(belief, offers, ways, least)
    if not ranked:
        return None
    by_rule = ranked[0].offer.prefer > 1.0  # an experienced hand's order; the plan weighs minutes only
    first = "" if by_rule else pays or planned(pool, ranked, ways)
    best = next((entry for entry in ranked if entry.offer.check == first), ranked[0])
    second = next((entry for entry in ranked if entry is not best), None)
    return NextCheck(
        check=best.offer.check,
        bits=best.bits,
        minutes=best.minutes,
        reach=best.minutes - best.offer.minutes,
        method="gain" if not first else "pays" if pays else "plan",
        with_it="" if first else best.along,
        foresight=_foresight(pool, best.view),
        runner_up=_runner_up(best, second) if second else None,
    )


def foresee(judge: Judge, belief: Belief, check: str) -> tuple[Foresight, ...]:
    """What each finding of a check would do to the suspects, in the order of the findings."""
    pool = judge.pool(belief)
    return _foresight(pool, pool.view(check))


def _foresight(pool: Pool, view: Prospect) -> tuple[Foresight, ...]:
    return tuple(Foresight(number, *pool.after(column)) for number, column in enumerate(view.columns))


def _runner_up(best: Ranked, second: Ranked) -> RunnerUp:
    return RunnerUp(second.offer.check, second.bits, second.minutes, _why(best, second))


def _why(best: Ranked, second: Ranked) -> Why:
    """What the second lost by."""
    less, longer = second.bits < best.bits - NEAR, second.minutes > best.minutes + NEAR
    if second.score > best.score + NEAR:
        return "later in the plan"
    if less or longer:
        return "tells less and takes longer" if less and longer else "tells less" if less else "takes longer"
    return "less preferred" if second.score < best.score - NEAR else "tie"


def least_share(judge: Judge, evidence: Evidence, story: frozenset[str], checks: int) -> float:
    """The share of the doubt that the next check has to settle, after so many checks."""
    if checks >= MOST_CHECKS:
        return ENDLESS
    idle = idle_readings(judge, evidence, story)
    return LEAST_STUCK * idle if idle >= STUCK else LEAST


def idle_readings(judge: Judge, evidence: Evidence, story: frozenset[str]) -> int:
    """How many of the latest readings since the latest repair left the leading faults where they were before them."""
    now = len(evidence.repairs)
    read = [one for one in evidence.readings if one.epoch == now and one.check not in story and one.finding is not None]
    if len(read) < STUCK:
        return 0
    heard = judge.hear(evidence)
    leads = judge.belief(evidence).suspects[:LEADS]
    for count in range(1, min(len(read), MOST_IDLE) + 1):
        late = read[-count:]
        before = replace(evidence, readings=tuple(one for one in evidence.readings if one not in late))
        if any(abs(heard.otherwise(before).chance(fault) - chance) > STILL for fault, chance in leads):
            return count - 1
    return min(len(read), MOST_IDLE)
