"""Which sets of faults are judged: all of them on a small machine, the leading ones on a large one.

On a large machine every single fault is judged, every cause with its victims, and those pairs and triples that the
evidence could favour most. What it could favour is bounded cheaply: each reading is taken to be explained as well as
the best member explains it alone, or as a sound machine would. Only of the sets that lead by this bound it is asked
what they really show. All of it is a function of the evidence, never of the order in which it came.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heappush, heapreplace
from itertools import combinations
from math import log

from coldiron.inference.bounds import Bounds
from coldiron.inference.cells import log_of
from coldiron.inference.columns import Heard
from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import Prior
from coldiron.inference.limits import Limits

TOGETHER = 2
"""So many wires are hurt at the most in a set that is judged, what they take with them left out: of more the repair
finds the rest, for it opens the harness there."""

BRINGS = 0.5
"""Chance from which what a hurt wire takes with it, such as its fuse, is in the set as well: likelier than not."""

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
    if prior.few(limits):
        return tuple(sorted(s for size in range(1, largest + 1) for s in combinations(names, size)))
    singles: list[FaultSet] = [(name,) for name in names]
    bounds = Bounds(prior, told, repairs)
    sets = {*singles, *_families(prior, largest, bounds, limits, 0.0 if repairs else TIED)}
    sets.update(Leaders(prior, bounds, limits).sets(largest))
    sets.update(_event_sets(prior, bounds, limits))
    return tuple(sorted(sets))


def _families(prior: Prior, largest: int, bounds: Bounds, limits: Limits, always: float) -> list[FaultSet]:
    """Every cause with its victims, any of them, and theirs, up to the largest set, unless all but ruled out.

    A victim that its cause nearly always brings is never ruled out by the bound: two empty batteries side by side show
    what neither of them shows alone. Nor is any single victim with its cause once a repair was made: it did not help,
    or something else is wrong as well.
    """
    found: set[frozenset[str]] = set()
    edge = {frozenset((cause,)) for cause in prior.victims if cause not in prior.events}
    for _ in range(1, largest):
        edge = {family | {victim} for family in edge for name in family for victim in prior.victims.get(name, ())}
        found |= edge
    families = [tuple(sorted(family)) for family in found if len(family) > 1]
    tied = {
        tuple(sorted((cause, victim)))
        for cause, victims in prior.victims.items()
        if cause not in prior.events
        for victim, chance in victims.items()
        if chance >= always
    }
    return [family for family in families if family in tied or bounds.family_stands(family, limits)]


def _event_sets(prior: Prior, bounds: Bounds, limits: Limits) -> list[FaultSet]:
    """Each event with one or two wires that it hurt and what these took with them: those the evidence favours most."""
    found: dict[FaultSet, float] = {}
    for event in prior.events:
        for faults, chance in _hurt_together(prior, bounds, event, limits.hurt):
            gains = map(max, *[bounds.gains[name] for name in faults])
            found[faults] = chance + sum(gains)
    leading = sorted(found, key=lambda faults: (-round(found[faults], 9), faults))[: limits.events]
    return [faults for faults in leading if bounds.family_stands(faults, limits)]


def _hurt_together(prior: Prior, bounds: Bounds, event: str, most: int) -> Iterator[tuple[FaultSet, float]]:
    """The sets of an event, each with about the log of its prior."""
    hurts = {name: log(chance) + sum(bounds.gains[name]) for name, chance in prior.victims[event].items()}
    leading = sorted(hurts, key=lambda name: (-round(hurts[name], 9), name))[:most]
    for count in range(1, TOGETHER + 1):
        for members in combinations(sorted(leading), count):
            if len({prior.part(name) for name in members}) == count:
                came = sum([log(prior.victims[event][name]) for name in members])
                yield tuple(sorted({event, *_with_them(prior, members)})), log_of(prior.odds[event]) + came


def _with_them(prior: Prior, members: tuple[str, ...]) -> set[str]:
    """Hurt wires and what they more likely than not took with them."""
    found = set(members)
    for name in members:
        found.update([victim for victim, chance in prior.victims.get(name, {}).items() if chance >= BRINGS])
    return found


NEAR = 1e-6
"""Bounds that differ by less than this are both looked at."""


class Leaders:
    """Pairs and triples by what the evidence could make of them at best."""

    def __init__(self, prior: Prior, bounds: Bounds, limits: Limits) -> None:
        self.limits = limits
        self.bounds = bounds
        self.shares = [log_of(share) for share in prior.share]
        self.least = bounds.likeliest - limits.far
        odds = {name: log(odd) for name, odd in prior.odds.items() if odd > 0 and name not in prior.events}
        alone = {name: weight + sum(bounds.gains[name]) for name, weight in odds.items()}
        self.names = sorted(alone, key=lambda name: (-round(alone[name], 9), name))[: limits.leading]
        self.odds = [odds[name] for name in self.names]
        self.alone = [alone[name] for name in self.names]
        told = [reading for reading in zip(*[bounds.gains[name] for name in self.names], strict=True) if any(reading)]
        self.gains = list(zip(*told, strict=True)) if told else [()] * len(self.names)
        kinds: dict[tuple[float, ...], int] = {}
        self.kind = [kinds.setdefault(gains, len(kinds)) for gains in self.gains]

    def sets(self, largest: int) -> list[FaultSet]:
        """The leading pairs and, if sets may be as large, triples and larger ones, as many as may be solved."""
        edge: list[tuple[int, ...]] = [(place,) for place in range(len(self.names))]
        found: list[tuple[tuple[int, ...], float]] = []
        for share in self.shares[1:largest]:
            best = self._grown(edge, share, max(self.limits.solved, self.limits.pairs))
            found += best
            edge = [members for members, _ in best[: self.limits.pairs]]
        found.sort(key=lambda item: (-round(item[1], 9), item[0]))
        return [faults for members, _ in found[: self.limits.solved] if (faults := self._standing(members))]

    def _standing(self, members: Sequence[int]) -> FaultSet:
        """The set of these members; empty if it is ruled out by what it shows itself."""
        faults = tuple(sorted(self.names[i] for i in members))
        gains = tuple(map(max, *[self.bounds.gains[name] for name in faults]))
        return faults if self.bounds.stands(faults, gains, self.limits) else ()

    def _grown(self, edge: Sequence[tuple[int, ...]], share: float, keep: int) -> list[tuple[tuple[int, ...], float]]:
        """The best sets that have one member more, with their bounds, best first."""
        best: list[tuple[float, tuple[int, ...]]] = []
        seen: set[tuple[int, ...]] = set()
        worst = self.least
        for members in edge:
            gains = list(map(max, *(self.gains[i] for i in members))) if len(members) > 1 else self.gains[members[0]]
            odds = share + sum(self.odds[i] for i in members)
            most = odds + sum(gains)
            sums: dict[int, float] = {}  # faults that explain the same readings as well are many
            for k in range(members[0] + 1 if len(members) == 1 else 0, len(self.names)):
                if most + self.alone[k] < worst - NEAR:
                    break  # they come with the highest bounds first, so no later one can do better
                kind = self.kind[k]
                if kind not in sums:
                    sums[kind] = sum(map(max, gains, self.gains[k]))
                bound = odds + self.odds[k] + sums[kind]
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
