"""How a set of faults can have come about: some of it came by themselves, the roots, and brought the rest.

This rests on cause and victim alone, not on the odds, so it is worked out once for each set and kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations, product

from coldiron.record import dataclass

FaultSet = tuple[str, ...]
"""A set of fault ids, sorted; the empty tuple is a sound machine."""


@dataclass(frozen=True, slots=True)
class Link:
    """Cause and victim: with this `chance` the fault `cause` brings the fault `victim` with it."""

    cause: str
    victim: str
    chance: float


class Descent:
    """Causes and victims of one machine.

    Attributes:
        victims: By cause and victim the chance that the one brings the other; several links between two add up as
            independent chances.
        causes: The same by victim and cause.
    """

    def __init__(self, links: Iterable[Link]) -> None:
        self.victims: dict[str, dict[str, float]] = {}
        self.causes: dict[str, dict[str, float]] = {}
        for link in sorted(links, key=lambda link: (link.cause, link.victim, link.chance)):
            stays_away = (1 - self.victims.get(link.cause, {}).get(link.victim, 0.0)) * (1 - link.chance)
            self.victims.setdefault(link.cause, {})[link.victim] = 1 - stays_away
            self.causes.setdefault(link.victim, {})[link.cause] = 1 - stays_away
        self._ways: dict[FaultSet, tuple[tuple[FaultSet, float], ...]] = {}

    def ways(self, faults: FaultSet) -> tuple[tuple[FaultSet, float], ...]:
        """All roots that a set can have, each with the chance that they bring just the rest of it."""
        known = self._ways.get(faults)
        if known is None:
            known = self._ways[faults] = tuple(self._new_ways(faults))
        return known

    def _new_ways(self, faults: FaultSet) -> Iterable[tuple[FaultSet, float]]:
        inside = frozenset(faults)
        untouched = 1.0
        for cause in faults:
            for victim, chance in self.victims.get(cause, {}).items():
                if victim not in inside:
                    untouched *= 1 - chance
        may = [name for name in faults if not inside.isdisjoint(self.causes.get(name, ()))]
        must = [name for name in faults if name not in may]
        for extra in range(len(may) + 1):
            for chosen in combinations(may, extra):
                roots = frozenset((*must, *chosen))
                chance = self._spread(inside - roots, roots) * untouched
                if chance > 0:
                    yield tuple(sorted(roots)), chance

    def _spread(self, missing: frozenset[str], struck: frozenset[str]) -> float:
        """Probability that all the missing faults are brought, beginning with those just struck.

        A cause acts once, when it appears, so faults may well bring each other in a circle.
        """
        if not missing:
            return 1.0
        if not struck:
            return 0.0
        names = sorted(missing)
        chances = [1 - self._spared(name, struck) for name in names]
        total = 0.0
        for hits in product((False, True), repeat=len(names)):
            chance = 1.0
            for hit, brought in zip(hits, chances, strict=True):
                chance *= brought if hit else 1 - brought
            if chance > 0:
                hit_now = frozenset(name for name, hit in zip(names, hits, strict=True) if hit)
                total += chance * self._spread(missing - hit_now, hit_now)
        return total

    def _spared(self, victim: str, causes: frozenset[str]) -> float:
        chance = 1.0
        for cause, brings in self.causes.get(victim, {}).items():
            if cause in causes:
                chance *= 1 - brings
        return chance


def one_way(links: Iterable[Link]) -> tuple[Link, ...]:
    """The links without those that close a circle, where the weakest link of a circle is taken to close it.

    A welded relay empties the battery, and an empty battery may weld the relay: both are possible, and the odds allow
    for both. To say which of the two to see to first, one has to come first.
    """
    kept: list[Link] = []
    for link in sorted(links, key=lambda link: (-link.chance, link.cause, link.victim)):
        if link.cause != link.victim and link.cause not in _after(link.victim, kept):
            kept.append(link)
    return tuple(kept)


def _after(fault: str, links: Iterable[Link]) -> set[str]:
    """A fault and all that it may bring, directly or not."""
    found = {fault}
    edge = [fault]
    while edge:
        name = edge.pop()
        new = {link.victim for link in links if link.cause == name} - found
        found |= new
        edge += sorted(new)
    return found


def causes_first(faults: Iterable[str], causes: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """All faults, every cause before its victims, otherwise by id; `causes` must not go round in a circle."""
    done: list[str] = []
    waiting = sorted(faults)
    while waiting:
        ready = [name for name in waiting if causes.get(name, frozenset()).issubset(done)]
        done += ready
        waiting = [name for name in waiting if name not in ready]
    return tuple(done)
