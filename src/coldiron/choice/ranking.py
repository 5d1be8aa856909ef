"""Checks by what they tell per minute, those of one state of the machine weighed together."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from coldiron.choice.offers import Offer, Setup, Ways
from coldiron.choice.pool import Pool, Prospect, both
from coldiron.record import dataclass, replace

NOTHING = 1e-9
"""A check that tells no more bits than this tells nothing, and is never chosen."""

LEADING = 12
"""How many checks are ranked exactly; the others cannot be better than the last of them."""

WORKED_OUT = 100
"""So many times a set of several faults is worked out for one ranking at the most, unless no check told anything."""

PAIRS = 6
"""How many pairs of checks in one state are weighed together at the most; a page is not held up for more."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """An offer with what it tells.

    `bits` are about which repair comes first, `minutes` include reaching its state and area. `score` is bits per
    minute times preference, for the check alone or together with `along`, another of the same state and area; then
    `worth` are the bits of both, else those of the check.
    """

    offer: Offer
    view: Prospect
    bits: float
    minutes: float
    score: float
    along: str = ""
    worth: float = 0.0


def rank(pool: Pool, offers: Sequence[Offer], ways: Ways, least: float = 0.0) -> list[Ranked]:
    """The leading checks that settle at least such a share of the doubt, best first, equal ones by id.

    A check that rules prefer tells so many times more than the odds say: so much less has to be seen of it.
    Which lead is seen at a glance, which takes a check for more or for less than it is. So the first of them are worked
    out, and none that was not is in the list.
    """
    if not pool.weights:
        return []
    hoped = [_hoped(offer, pool.glance(offer.check), ways.reach(offer)) for offer in offers]
    hoped = sorted((entry for entry in hoped if entry.bits > NOTHING), key=_order)
    allowance = Allowance(pool)
    whole: dict[str, Ranked] = {}
    known: dict[str, Ranked] = {}
    for entry in hoped:
        if len(known) >= LEADING and entry.score < sorted(known.values(), key=_order)[LEADING - 1].score:
            break
        if not allowance.covers(entry.offer.check) and known:
            continue
        full = _hoped(entry.offer, pool.view(entry.offer.check), ways.reach(entry.offer))
        whole[entry.offer.check] = full
        exact = _scored(full, pool.bits(full.view.columns))
        if exact.bits > NOTHING:
            known[entry.offer.check] = exact
    _weigh_together(pool, [whole.get(entry.offer.check, entry) for entry in hoped], known, ways, allowance)
    worth = [entry for entry in known.values() if pool.settled(entry.worth * max(entry.offer.prefer, 1.0)) >= least]
    return sorted(worth, key=_order)[:LEADING]


class Allowance:
    """How much may still be worked out for one ranking: the same for the same pool, whatever is at hand already."""

    def __init__(self, pool: Pool) -> None:
        self._pool = pool
        self._done: set[Hashable] = set()
        self._left = WORKED_OUT

    def covers(self, *checks: str) -> bool:
        """Whether the views of these checks may be worked out; then that is counted as done."""
        done = self._done.copy()
        work = sum([self._pool.work(check, done) for check in checks])
        if work > self._left:
            return False
        self._done, self._left = done, self._left - work
        return True


def _order(entry: Ranked) -> tuple[float, str]:
    return -round(entry.score, 9), entry.offer.check


def _hoped(offer: Offer, view: Prospect, reach: float) -> Ranked:
    """An offer with the most that it may tell by a view, which is quick to work out."""
    minutes = max(reach + offer.minutes, 0.01)
    return Ranked(offer, view, view.most, minutes, view.most * offer.prefer / minutes)


def _scored(entry: Ranked, bits: float) -> Ranked:
    return replace(entry, bits=bits, score=bits * entry.offer.prefer / entry.minutes, worth=bits)


def _weigh_together(
    pool: Pool, hoped: Sequence[Ranked], known: dict[str, Ranked], ways: Ways, allowance: Allowance
) -> None:
    """Raise the score of a check if doing another in the same state makes reaching that state pay."""
    pairs = sorted(
        ((_hope(one, other), one, other) for one, other in _neighbours(hoped, ways)),
        key=lambda pair: (-round(pair[0], 9), pair[1].offer.check, pair[2].offer.check),
    )
    best = max((entry.score for entry in known.values()), default=0.0)
    for hope, one, other in pairs[:PAIRS]:
        if hope <= best:
            break
        if not allowance.covers(one.offer.check, other.offer.check):
            continue
        first, second = (pool.view(entry.offer.check) for entry in (one, other))
        bits = pool.bits(both(first.columns, second.columns))
        score = bits * one.offer.prefer / (one.minutes + other.offer.minutes)
        exact = known.get(one.offer.check) or _scored(replace(one, view=first), pool.bits(first.columns))
        if score > exact.score and exact.bits > NOTHING:
            known[one.offer.check] = replace(exact, score=score, along=other.offer.check, worth=bits)
            best = max(best, score)


def _neighbours(hoped: Sequence[Ranked], ways: Ways) -> list[tuple[Ranked, Ranked]]:
    """The best check of every state and area that takes time to reach, with each of the next two."""
    homes: dict[tuple[Setup, str], list[Ranked]] = {}
    for entry in hoped:
        if entry.minutes > entry.offer.minutes + NOTHING:
            homes.setdefault((ways.setup(entry.offer), entry.offer.area), []).append(entry)
    found = []
    for entries in homes.values():
        first, *others = sorted(
            entries, key=lambda e: (-e.bits * e.offer.prefer / max(e.offer.minutes, 0.01), e.offer.check)
        )
        found += [(first, other) for other in others[:2]]
    return found


def _hope(one: Ranked, other: Ranked) -> float:
    """The most that two checks of one state may tell per minute."""
    return (one.bits + other.bits) * one.offer.prefer / (one.minutes + other.offer.minutes)
