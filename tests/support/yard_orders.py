"""Orders of checks and repairs on made-up machines: the tool's own, and simpler ones that it is held against.

All of them know the same book and the same odds; they differ in what they do with them. But for the tool's own they
repair a part that is sure, or the likeliest one when no check tells anything more.
"""

from __future__ import annotations

from math import log
from operator import mul

from coldiron.choice.choice import choose
from coldiron.choice.doubt import contradiction
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.ranking import NOTHING, rank
from coldiron.choice.verdict import SURE, decide
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence
from support.fault_yard import WORKS
from support.yard_jobs import Job, Order, Step

LIKELY = 0.8
"""Sure enough for an order that does not mind repairing a sound part now and then."""

LITTLE = 0.02
"""A check that tells fewer bits than this is left out of a fixed order."""

EVEN = 0.5


def whole(job: Job, evidence: Evidence, belief: Belief) -> Step:
    """As shipped, the search for an answer that does not fit included."""
    offers, ways = job.offers, Ways()
    contradiction(job.judge, evidence)
    story = frozenset({WORKS} if not job.repairs else ())
    decision = decide(job.judge, evidence, belief, offers=offers, ways=ways, story=story)
    if decision.verdict:
        return decision.verdict.faults
    choice = choose(job.judge, belief, offers, ways, decision.check)
    return choice.check if choice else last(belief)


def gain(job: Job, _evidence: Evidence, belief: Belief) -> Step:
    """Most information per minute."""
    return _gain(job, belief, SURE)


def gain_80(job: Job, _evidence: Evidence, belief: Belief) -> Step:
    """The same, sure at 80 in 100 already."""
    return _gain(job, belief, LIKELY)


def by_part(job: Job, _evidence: Evidence, belief: Belief) -> Step:
    """Part by part, the least minutes over its chance first: checked by itself where it can be, else repaired.

    Source: Kalagnanam and Henrion 1988 (arXiv 1304.2362), test the smallest cost over probability first.
    """
    if belief.parts[0][1] >= SURE:
        return likeliest(belief)
    if belief.unknown > EVEN:
        return ""
    minutes = {offer.check: offer.minutes for offer in job.offers}
    alone = {fault: check for fault, check in job.case.checked_alone.items() if check in minutes}

    def price(fault: str) -> float:
        return minutes[alone[fault]] if fault in alone else job.case.model.minutes(fault)

    fault, _ = min(belief.suspects, key=lambda item: (price(item[0]) / max(item[1], 1e-12), item[0]))
    return alone.get(fault) or (fault,)


def cheapest(job: Job, _evidence: Evidence, belief: Belief) -> Step:
    """One fixed order, the quickest checks first; those that now tell next to nothing are left out."""
    return _fixed(job, belief, sorted(job.offers, key=lambda offer: (offer.minutes, offer.check)))


def by_system(job: Job, _evidence: Evidence, belief: Belief) -> Step:
    """One fixed order, system after system, each over all first and then along its parts; left out as above."""
    return _fixed(job, belief, job.offers)


def knowing(job: Job, _evidence: Evidence, belief: Belief) -> Step:
    """One who knows the faults and only has to prove them: the check first that is expected to speak most for them.

    It is no bound: now and then a part is repaired, and was the right one, before it is proven.
    """
    fault, chance = next((name, chance) for name, chance in belief.suspects if name in job.left)
    if chance >= SURE:
        return (fault,)
    pool = job.judge.pool(belief)

    def speaks(offer: Offer) -> float:
        said = [sum(map(mul, pool.weights, column)) for column in pool.view(offer.check).columns]
        row = job.judge.cells.row(offer.check, tuple(sorted(job.left)))
        return sum(p * log(p / q) for p, q in zip(row, said, strict=True) if p and q > 0) / offer.minutes

    best = max(job.offers, key=lambda offer: (round(speaks(offer), 9), offer.check), default=None)
    return best.check if best and speaks(best) > NOTHING else (fault,)


def last(belief: Belief) -> Step:
    """What is left to do when no check tells anything: the likeliest part, unless it is rather not in the book."""
    return "" if belief.unknown > belief.suspects[0][1] else likeliest(belief)


def likeliest(belief: Belief) -> tuple[str, ...]:
    return (belief.suspects[0][0],)


ORDERS: dict[str, Order] = {
    "tool": whole,
    "gain": gain,
    "gain .80": gain_80,
    "by part": by_part,
    "cheapest": cheapest,
    "by system": by_system,
}


def _gain(job: Job, belief: Belief, enough: float) -> Step:
    if belief.parts[0][1] >= enough:
        return likeliest(belief)
    ranked = rank(job.judge.pool(belief), job.offers, Ways())
    return ranked[0].offer.check if ranked else last(belief)


def _fixed(job: Job, belief: Belief, offers: list[Offer]) -> Step:
    if belief.parts[0][1] >= SURE:
        return likeliest(belief)
    pool = job.judge.pool(belief)
    for offer in offers:
        if pool.bits(pool.view(offer.check).columns) > LITTLE:
            return offer.check
    return last(belief)
