"""Which sets of faults are judged: all of them on a small machine, the leading ones on a large one.

On a large machine every single fault is judged, every cause with its victims, and those pairs and triples that the
evidence could favour most. What it could favour is bounded cheaply: each reading is taken to be explained as well as
the best member explains it alone, or as a sound machine would. Only for the sets that lead by this bound is the table
asked what they really show. All of it is a function of the evidence, never of the order in which it came.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappush, heapreplace
from itertools import combinations
from math import comb, log

from coldiron.diagnosis.cells import SOUND, log_of
from coldiron.diagnosis.columns import Column, likelihoods
from coldiron.diagnosis.descent import FaultSet
from coldiron.diagnosis.faults import Prior
from coldiron.record import dataclass

NEAR = 1e-6
"""Bounds that differ by less than this are both looked at."""

TIED = 0.9
"""A victim that comes with its cause so often is judged together with it whatever the readings say of each alone."""

LEAST = -30.0
"""A log-likelihood below this counts as this in the bound, which keeps it finite."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How much is judged. More is slower and, past these figures, hardly better.

    Attributes:
        largest: Most faults in a set.
        exact: All sets are judged while there are no more than this many.
        leading: Single faults of which pairs and triples are made.
        pairs: Pairs of which triples are made.
        solved: Pairs and triples, besides causes with victims, that the table is asked about at the most.
        far: No pair or triple is asked about that could at best be less likely than the likeliest single fault by this
            much, as a log of chances (6 is a chance 400 times smaller).
        followed: Pairs and triples, the likeliest, that are followed past a repair where there are more than `exact`
            sets in all.
        pool: Hypotheses that the choice of the next check weighs.
    """

    largest: int = 3
    exact: int = 300
    leading: int = 60
    pairs: int = 30
    solved: int = 24
    far: float = 6.0
    followed: int = 40
    pool: int = 48


def start_sets(
    prior: Prior, told: Sequence[Sequence[Column]], repairs: Sequence[frozenset[str]], limits: Limits
) -> tuple[FaultSet, ...]:
    """The sets the job may have begun with that are worth judging, sorted.

    Args:
        prior: Odds, sizes, causes and victims.
        told: The columns of all readings, by epoch.
        repairs: The faults whose repair ended each epoch.
        limits: How many sets are judged.
    """
    names = sorted(prior.odds)
    largest = min(limits.largest, len(names))
    if sum(comb(len(names), size) for size in range(1, largest + 1)) <= limits.exact:
        return tuple(sorted(s for size in range(1, largest + 1) for s in combinations(names, size)))
    singles: list[FaultSet] = [(name,) for name in names]
    bounds = Bounds(prior, told, repairs)
    sets = {*singles, *_families(prior, largest, bounds, limits)}
    sets.update(_Leaders(prior, bounds, limits).sets(largest))
    return tuple(sorted(sets))


class Bounds:
    """How well the readings could at best be explained by each fault, as logs of chances against a sound machine.

    Attributes:
        gains: How much better each fault alone explains each reading; nothing where it does so worse, or is repaired.
        again: The same, were no fault ever repaired: a victim comes again while its cause is there.
        likeliest: What the likeliest single fault comes to, its prior included.
    """

    def __init__(self, prior: Prior, told: Sequence[Sequence[Column]], repairs: Sequence[frozenset[str]]) -> None:
        self._prior = prior
        names = sorted(prior.odds)
        self.gains: dict[str, list[float]] = {name: [] for name in names}
        self.again: dict[str, list[float]] = {name: [] for name in names}
        whole = dict.fromkeys(names, 0.0)
        gone: set[str] = set()
        singles: list[FaultSet] = [(name,) for name in names]
        for epoch, heard in enumerate(told):
            together = likelihoods(heard, [SOUND, *singles])
            for name in names:
                whole[name] += 0.0 if name in gone else together[(name,)] - together[SOUND]
            for column in heard:
                logs, levels = column.of([SOUND, *singles]), column.levels(singles)
                sound = max(logs[SOUND], LEAST)
                for name in names:
                    best = max(logs[(name,)], *levels.get((name,), ()), LEAST)
                    alone = max(0.0, best - sound)
                    self.gains[name].append(0.0 if name in gone else alone)
                    self.again[name].append(alone)
            if epoch < len(repairs):
                gone |= repairs[epoch]
        self.likeliest = max(whole[name] + log_of(prior.of((name,))) for name in names)

    def of_family(self, faults: FaultSet) -> float:
        """What a cause with its victims could come to at best, its prior included; a repaired victim may be back."""
        gains = [self.again[name] for name in faults]
        best: float = sum(map(max, *gains))
        return log_of(self._prior.of(faults)) + best


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
    least = bounds.likeliest - limits.far
    return [family for family in families if family in tied or bounds.of_family(family) >= least]


class _Leaders:
    """Pairs and triples by what the evidence could make of them at best."""

    def __init__(self, prior: Prior, bounds: Bounds, limits: Limits) -> None:
        self.limits = limits
        self.shares = [log_of(share) for share in prior.share]
        self.least = bounds.likeliest - limits.far
        odds = {name: log(weight) for name, weight in prior.odds.items() if weight > 0}
        alone = {name: weight + sum(bounds.gains[name]) for name, weight in odds.items()}
        self.names = sorted(alone, key=lambda name: (-round(alone[name], 9), name))[: limits.leading]
        self.odds = [odds[name] for name in self.names]
        self.gains = [bounds.gains[name] for name in self.names]
        self.alone = [alone[name] for name in self.names]

    def sets(self, largest: int) -> list[FaultSet]:
        """The leading pairs and, if sets may be as large, triples and larger ones, as many as may be solved."""
        edge: list[tuple[int, ...]] = [(place,) for place in range(len(self.names))]
        found: list[tuple[tuple[int, ...], float]] = []
        for share in self.shares[1:largest]:
            best = self._grown(edge, share, max(self.limits.solved, self.limits.pairs))
            found += best
            edge = [members for members, _ in best[: self.limits.pairs]]
        found.sort(key=lambda item: (-round(item[1], 9), item[0]))
        return [tuple(sorted(self.names[i] for i in members)) for members, _ in found[: self.limits.solved]]

    def _grown(self, edge: Sequence[tuple[int, ...]], share: float, keep: int) -> list[tuple[tuple[int, ...], float]]:
        """The best sets that have one member more, with their bounds, best first."""
        best: list[tuple[float, tuple[int, ...]]] = []
        seen: set[tuple[int, ...]] = set()
        worst = self.least
        for members in edge:
            gains = list(map(max, *(self.gains[i] for i in members))) if len(members) > 1 else self.gains[members[0]]
            odds = share + sum(self.odds[i] for i in members)
            most = odds + sum(gains)
            for k in range(members[0] + 1 if len(members) == 1 else 0, len(self.names)):
                if most + self.alone[k] < worst - NEAR:
                    break  # they come with the highest bounds first, so no later one can do better
                bound = odds + self.odds[k] + sum(map(max, gains, self.gains[k]))
                if bound < worst - NEAR or k in members:
                    continue
                grown = tuple(sorted((*members, k)))
                if grown in seen:
                    continue
                seen.add(grown)
                entry = (round(bound, 9), tuple(-i for i in grown))
                if len(best) < keep:
                    heappush(best, entry)
                elif entry > best[0]:
                    heapreplace(best, entry)
                if len(best) == keep:
                    worst = best[0][0]
        return [(tuple(-i for i in places), bound) for bound, places in sorted(best, reverse=True)]
