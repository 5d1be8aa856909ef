"""Which sets of faults are judged: all of them on a small machine, the leading ones on a large one.

On a large machine every single fault is judged, every cause with its victims, and those pairs and triples that the
evidence could favour most. What it could favour is bounded cheaply: each reading is taken to be explained as well as
the best member explains it alone, or as a sound machine would. Only of the sets that lead by this bound it is asked
what they really show. All of it is a function of the evidence, never of the order in which it came.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from coldiron.inference.bounds import Bounds
from coldiron.inference.columns import Heard
from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import Prior
from coldiron.inference.leaders import Leaders
from coldiron.inference.limits import Limits

TIED = 0.9
"""Chance from which a victim is judged together with its cause, whatever the readings say of each alone."""


def start_sets(
    prior: Prior, told: Sequence[Heard], repairs: Sequence[frozenset[str]], limits: Limits
) -> tuple[FaultSet, ...]:
    """The sets the job may have begun with that are worth judging, sorted.

    Args:
        prior: Odds, sizes, causes and victims.
        told: All readings, by epoch.
        repairs: The faults whose repair ended each epoch.
        limits: How many sets are judged.
    """
    names = sorted(prior.odds)
    largest = min(limits.largest, len(names))
    if limits.all_judged(prior):
        return tuple(sorted(s for size in range(1, largest + 1) for s in combinations(names, size)))
    singles: list[FaultSet] = [(name,) for name in names]
    bounds = Bounds(prior, told, repairs)
    sets = {*singles, *_families(prior, largest, bounds, limits)}
    sets.update(Leaders(prior, bounds, limits).sets(largest))
    return tuple(sorted(sets))


def _families(prior: Prior, largest: int, bounds: Bounds, limits: Limits) -> list[FaultSet]:
    """Every cause with its victims, any of them, and theirs, up to the largest set, unless all but ruled out.

    A victim that its cause nearly always brings is never ruled out by the bound: two empty batteries side by side show
    what neither of them shows alone.
    """
    found: set[frozenset[str]] = set()
    edge = {frozenset((cause,)) for cause in prior.victims}
    for _ in range(1, largest):
        edge = {family | {victim} for family in edge for name in family for victim in prior.victims.get(name, ())}
        found |= edge
    families = [tuple(sorted(family)) for family in found if len(family) > 1]
    tied = {
        tuple(sorted((cause, victim)))
        for cause, victims in prior.victims.items()
        for victim, chance in victims.items()
        if chance >= TIED
    }
    return [family for family in families if family in tied or bounds.family_stands(family, limits)]
