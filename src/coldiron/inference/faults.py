"""What may be wrong with a machine: faults, their odds, what brings what, and the prior of a set of faults.

A hypothesis is the *set* of faults present. How many faults came by themselves (the roots) has a declared prior; root
sets of one size are as likely as the product of their odds. A cause may bring its victims with it (noisy-OR over the
causes that are in the set), so the prior of a set sums over all ways of taking some of it as roots.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import comb

from coldiron.inference.descent import Descent, FaultSet, Link, causes_first, one_way
from coldiron.inference.limits import Limits
from coldiron.record import dataclass, field

SHIFT_LIMIT = 100.0
"""History multiplies or divides the odds of a fault by this at the most, whatever was told."""


@dataclass(frozen=True, slots=True)
class FaultModel:
    """Everything the beliefs need to know of the faults of one machine.

    Attributes:
        odds: Relative weight of each fault id; only ratios matter.
        parts: The part of each fault id; a fault without an entry is a part of its own.
        links: Cause and victim; circles are allowed.
        shows_now: Chance that a fault shows in one epoch; 1 for a fault without an entry. Below 1 it comes and goes.
        repair_minutes: Minutes of the repair of each fault; `usual_repair` for a fault without an entry.
        neighbours: Faults that the repair of a fault may bring about by disturbing them.
        repairs: The faults that the repair of each fault mends; for a fault without an entry all those of its part.
        events: Those of the faults that hurt several others at once and are nothing without them: judged with some of
            these only.
        sizes: Prior of one, two, three ... root faults. Sizes beyond the number of faults are left out.
        unknown: Prior of "the fault is not in the book".
        unknown_flat: How far the findings of an unknown fault are spread evenly; the rest is as on a sound machine.
        unknown_alike: How much of `unknown` reads like some fault of the book, as likely as that one is among them, and
            is not mended by its repair; the rest is as `unknown_flat` says.
        repair_fails: Chance that a repair does not remove the fault.
        disturbs: Chance that a repair brings about any one neighbour.
        floor: Least chance of any finding under any set, so that nothing is ever impossible; 0 to switch it off.
        usual_repair: Minutes of a repair that nothing is said about.
        causes: Never given, worked out: the causes of each fault that has any, but those that close a circle
            (see `one_way`).
        work: Never given, worked out: what has to be done about each fault; the same for all that one and the same
            repair mends.
        causes_first: Never given, worked out: all faults, every cause before its victims, otherwise by id.
        descent: Never given, worked out: how sets of these faults can have come about.

    Raises:
        ValueError: if a link or neighbour names a fault without odds, or there is no fault at all.
    """

    odds: Mapping[str, float]
    parts: Mapping[str, str] = field(default_factory=dict)
    links: tuple[Link, ...] = ()
    shows_now: Mapping[str, float] = field(default_factory=dict)
    repair_minutes: Mapping[str, float] = field(default_factory=dict)
    neighbours: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    repairs: Mapping[str, frozenset[str]] = field(default_factory=dict)
    events: frozenset[str] = frozenset()
    sizes: tuple[float, ...] = (0.85, 0.12, 0.03)
    unknown: float = 0.02
    unknown_flat: float = 0.5
    unknown_alike: float = 0.0
    repair_fails: float = 0.03
    disturbs: float = 0.01
    floor: float = 1e-4
    usual_repair: float = 30.0
    causes: Mapping[str, frozenset[str]] = field(default_factory=dict)
    work: Mapping[str, str] = field(default_factory=dict)
    causes_first: tuple[str, ...] = ()
    descent: Descent = field(default=Descent(()), compare=False)

    def __post_init__(self) -> None:
        if not self.odds:
            raise ValueError("a model needs at least one fault")
        named = {name for link in self.links for name in (link.cause, link.victim)}
        named.update(name for near in self.neighbours.values() for name in near)
        strange = sorted(named - set(self.odds))
        if strange:
            raise ValueError(f"no odds for {', '.join(strange)}")
        links = one_way(self.links)
        causes = {link.victim: frozenset(k.cause for k in links if k.victim == link.victim) for link in links}
        object.__setattr__(self, "causes", causes)
        object.__setattr__(self, "work", self._work())
        object.__setattr__(self, "causes_first", causes_first(self.odds, causes))
        object.__setattr__(self, "descent", Descent(self.links))

    def part(self, fault: str) -> str:
        """The part of a fault."""
        return self.parts.get(fault, fault)

    def mended_by(self, fault: str) -> frozenset[str]:
        """The faults that the repair of one mends, itself among them."""
        known = self.repairs.get(fault)
        return frozenset(n for n in self.odds if self.part(n) == self.part(fault)) if known is None else known

    def _work(self) -> dict[str, str]:
        """By fault the first one whose repair mends all that its own mends, and nothing more."""
        first: dict[frozenset[str], str] = {}
        return {name: first.setdefault(self.mended_by(name), name) for name in sorted(self.odds)}

    def minutes(self, fault: str) -> float:
        """Minutes of the repair of a fault."""
        return self.repair_minutes.get(fault, self.usual_repair)

    def unbrought(self, faults: FaultSet) -> list[str]:
        """Those of a set that no other of the set may have brought."""
        return [name for name in faults if name not in self.causes or self.causes[name].isdisjoint(faults)]


class Prior:
    """The prior of sets of faults on one machine, with the odds as history has shifted them."""

    def __init__(
        self, model: FaultModel, shifts: Mapping[str, float] | None = None, sizes: Sequence[float] | None = None
    ) -> None:
        """Take the model, what history multiplies odds by (held within `SHIFT_LIMIT`), and the sizes, if shifted."""
        shifts = shifts or {}
        self.odds = {name: model.odds[name] * _held(shifts.get(name, 1.0)) for name in sorted(model.odds)}
        self.victims = model.descent.victims
        self.causes = model.descent.causes
        self.causes_first = model.causes_first
        self.share = _shares(list(self.odds.values()), sizes or model.sizes)
        self.events = tuple(sorted(model.events))
        self.part = model.part
        self.fickle = frozenset(name for name, chance in model.shows_now.items() if chance < 1)
        self._ways = model.descent.ways
        self._of: dict[FaultSet, float] = {}

    def few(self, limits: Limits) -> bool:
        """Whether there are so few sets that all of them are judged."""
        count = len(self.odds)
        return sum([comb(count, size) for size in range(1, min(limits.largest, count) + 1)]) <= limits.exact

    def alike(self, whole: float) -> dict[str, float]:
        """What is not in the book and reads like some fault of it, by that fault; all of them together are `whole`."""
        total = sum(self.odds.values())
        return {name: whole * weight / total for name, weight in self.odds.items() if whole * weight > 0}

    def of(self, faults: FaultSet) -> float:
        """Probability that exactly these faults are present, given that the machine is dead by faults of the book."""
        known = self._of.get(faults)
        if known is None:
            known = self._of[faults] = self._worked_out(faults)
        return known

    def _worked_out(self, faults: FaultSet) -> float:
        total = 0.0
        for roots, chance in self._ways(faults):
            if 1 <= len(roots) <= len(self.share):
                came = self.share[len(roots) - 1] * chance
                for name in roots:
                    came *= self.odds[name]
                total += came
        return total


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
