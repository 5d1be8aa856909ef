"""What may be wrong with a machine: faults, their odds, what brings what, and the prior of a set of faults.

A hypothesis is the *set* of faults present. How many faults came by themselves (the roots) has a declared prior; root
sets of one size are as likely as the product of their odds. A cause may bring its victims with it (noisy-OR over the
causes that are in the set), so the prior of a set sums over all ways of taking some of it as roots.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

FaultSet = tuple[str, ...]
"""A set of fault ids, sorted; the empty tuple is a sound machine."""

SHIFT_LIMIT = 10.0
"""History multiplies or divides the odds of a fault by this at the most."""


class ChainCycleError(ValueError):
    """Cause and victim go round in a circle; the faults of the circle are in `faults`."""

    def __init__(self, faults: Sequence[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("cause and victim go round in a circle: " + " > ".join(self.faults))


@dataclass(frozen=True, slots=True)
class Link:
    """Cause and victim: with this `chance` the fault `cause` brings the fault `victim` with it."""

    cause: str
    victim: str
    chance: float


@dataclass(frozen=True, slots=True)
class FaultModel:
    """Everything the beliefs need to know of the faults of one machine.

    Attributes:
        odds: Relative weight of each fault id; only ratios matter.
        parts: The part of each fault id; a fault without an entry is a part of its own.
        links: Cause and victim, without circles.
        shows_now: Chance that a fault shows in one epoch; 1 for a fault without an entry. Below 1 it comes and goes.
        repair_minutes: Minutes of the repair of each fault; `usual_repair` for a fault without an entry.
        neighbours: Faults that the repair of a fault may bring about by disturbing them.
        sizes: Prior of one, two, three ... root faults. Sizes beyond the number of faults are left out.
        unknown: Prior of "the fault is not in the book".
        unknown_flat: How far the findings of an unknown fault are spread evenly; the rest is as on a sound machine.
        repair_fails: Chance that a repair does not remove the fault.
        disturbs: Chance that a repair brings about any one neighbour.
        floor: Least chance of any finding under any set, so that nothing is ever impossible; 0 to switch it off.
        usual_repair: Minutes of a repair that nothing is said about.

    Raises:
        ChainCycleError: if cause and victim go round in a circle.
        ValueError: if a link or neighbour names a fault without odds, or there is no fault at all.
    """

    odds: Mapping[str, float]
    parts: Mapping[str, str] = field(default_factory=dict)
    links: tuple[Link, ...] = ()
    shows_now: Mapping[str, float] = field(default_factory=dict)
    repair_minutes: Mapping[str, float] = field(default_factory=dict)
    neighbours: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sizes: tuple[float, ...] = (0.85, 0.12, 0.03)
    unknown: float = 0.02
    unknown_flat: float = 0.5
    repair_fails: float = 0.03
    disturbs: float = 0.01
    floor: float = 1e-9
    usual_repair: float = 30.0

    def __post_init__(self) -> None:
        if not self.odds:
            raise ValueError("a model needs at least one fault")
        named = {name for link in self.links for name in (link.cause, link.victim)}
        named.update(name for near in self.neighbours.values() for name in near)
        strange = sorted(named - set(self.odds))
        if strange:
            raise ValueError(f"no odds for {', '.join(strange)}")
        causes_first(self.odds, self.links)

    def part(self, fault: str) -> str:
        """The part of a fault."""
        return self.parts.get(fault, fault)

    def minutes(self, fault: str) -> float:
        """Minutes of the repair of a fault."""
        return self.repair_minutes.get(fault, self.usual_repair)


def causes_first(faults: Iterable[str], links: Iterable[Link]) -> tuple[str, ...]:
    """All faults, every cause before its victims, otherwise in order of their ids.

    Raises:
        ChainCycleError: if that is impossible.
    """
    causes: dict[str, set[str]] = {name: set() for name in faults}
    for link in links:
        causes[link.victim].add(link.cause)
    done: list[str] = []
    placed: set[str] = set()
    waiting = sorted(causes)
    while waiting:
        ready = [name for name in waiting if causes[name] <= placed]
        if not ready:
            raise ChainCycleError(_circle(causes, waiting))
        done += ready
        placed.update(ready)
        waiting = [name for name in waiting if name not in placed]
    return tuple(done)


def _circle(causes: Mapping[str, set[str]], waiting: Sequence[str]) -> list[str]:
    """One circle among faults that all wait for a cause, cause before victim, the first repeated at the end."""
    stuck = set(waiting)
    path = [waiting[0]]
    while True:
        cause = min(causes[path[-1]] & stuck)
        if cause in path:
            return [cause, *reversed(path[path.index(cause) :])]
        path.append(cause)


class Prior:
    """The prior of sets of faults on one machine, with the odds as history has shifted them."""

    def __init__(
        self, model: FaultModel, shifts: Mapping[str, float] | None = None, sizes: Sequence[float] | None = None
    ) -> None:
        """Take the model, what history multiplies odds by (held within `SHIFT_LIMIT`), and the sizes, if shifted."""
        shifts = shifts or {}
        self.odds = {name: model.odds[name] * _held(shifts.get(name, 1.0)) for name in sorted(model.odds)}
        self.victims: dict[str, dict[str, float]] = {}
        self.causes: dict[str, dict[str, float]] = {}
        for link in model.links:
            stays_away = (1 - self.victims.get(link.cause, {}).get(link.victim, 0.0)) * (1 - link.chance)
            self.victims.setdefault(link.cause, {})[link.victim] = 1 - stays_away
            self.causes.setdefault(link.victim, {})[link.cause] = 1 - stays_away
        self.causes_first = causes_first(self.odds, model.links)
        self.share = _shares(list(self.odds.values()), sizes or model.sizes)

    def of(self, faults: FaultSet) -> float:
        """Probability that exactly these faults are present, given that the machine is dead by faults of the book."""
        inside = set(faults)
        untouched = 1.0
        brought: dict[str, float] = {}
        for cause in faults:
            for victim, chance in sorted(self.victims.get(cause, {}).items()):
                if victim in inside:
                    brought[victim] = 1 - (1 - brought.get(victim, 0.0)) * (1 - chance)
                else:
                    untouched *= 1 - chance
        must = [name for name in faults if name not in brought]
        may = [name for name in faults if name in brought]
        total = 0.0
        for extra in range(len(may) + 1):
            roots = len(must) + extra
            if not 1 <= roots <= len(self.share):
                continue
            for chosen in combinations(may, extra):
                ways = self.share[roots - 1]
                for name in faults:
                    ways *= self.odds[name] if name not in brought or name in chosen else brought[name]
                total += ways
        return total * untouched


def _held(factor: float) -> float:
    return min(max(factor, 1 / SHIFT_LIMIT), SHIFT_LIMIT)


def _shares(odds: Sequence[float], sizes: Sequence[float]) -> tuple[float, ...]:
    """What the product of the odds of a root set is multiplied by, for sets of one, two, three ... faults."""
    sums = [1.0] + [0.0] * min(len(sizes), len(odds))
    for weight in odds:
        for size in range(len(sums) - 1, 0, -1):
            sums[size] += sums[size - 1] * weight
    kept = sizes[: len(sums) - 1]
    total = sum(kept)
    return tuple(size / total / products for size, products in zip(kept, sums[1:], strict=True))
