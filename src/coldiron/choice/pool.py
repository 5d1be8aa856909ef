"""The leading hypotheses, and what each check would tell about which repair comes first."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from math import log2
from operator import mul

from coldiron.choice.rough import Chances, Entry, Rough
from coldiron.entropy import entropy
from coldiron.inference.belief import Belief, Hypothesis
from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import FaultModel
from coldiron.record import dataclass

NO_WORK = "."
"""Stands for no repair, and for no part: nothing is wrong any more."""

NEARLY_ALL = 0.99
"""Hypotheses beyond those that hold so much of the probability are left out of the choice."""


def first_work(faults: FaultSet, belief: Belief, model: FaultModel) -> str:
    """What to do first about a set: of what was not brought by another of the set, the likeliest to be needed."""
    if not faults:
        return NO_WORK
    work = {model.work[name] for name in model.unbrought(faults)}
    return next(one for one, _ in belief.work if one in work)


@dataclass(frozen=True, slots=True)
class Prospect:
    """What a check shows under each hypothesis of a pool: for each finding its chances.

    `most` are the bits it tells about the whole hypothesis, at least as many as about the repair.
    """

    columns: tuple[Chances, ...]
    most: float


class Pool:
    """The leading hypotheses, those that the same repair comes first in side by side.

    A fault that is not in the book has no place here: no check is done only to tell whether the book knows the fault.
    """

    def __init__(self, belief: Belief, model: FaultModel, rough: Rough, size: int) -> None:
        """Take the `size` leading hypotheses of a belief."""
        self._rough = rough
        leading = [(first_work(h.faults, belief, model), h) for h in _leading(belief, size)]
        entries = sorted((e for e in leading if e[1].chance > 0), key=lambda e: (e[0], e[1].faults, e[1].shown))
        total = sum(h.chance for _, h in entries)
        self.first = [work for work, _ in entries]
        self._parts = [NO_WORK if work == NO_WORK else model.part(work) for work in self.first]
        self.faults = [h.faults for _, h in entries]
        self.weights = [h.chance / total for _, h in entries]
        self.spans = _spans(self.first)
        self._open = self._spread(self.weights)
        self._held = total
        self.doubt = self._doubt(belief.unknown)
        self._glances: dict[str, Prospect] = {}
        self._views: dict[str, Prospect] = {}
        self._shown = [rough.number(h.shown) for _, h in entries]
        self._several = rough.several(self._shown)

    def glance(self, check: str) -> Prospect:
        """The view of a check, near enough for a shortlist. It is kept."""
        known = self._glances.get(check)
        if known is None:
            known = self._glances[check] = self._new_view(self._rough.near(check, self._shown))
        return known

    def view(self, check: str) -> Prospect:
        """What a check shows under each hypothesis, and the most that it may tell. It is kept."""
        known = self._views.get(check)
        if known is None:
            known = self._views[check] = self._new_view(self._rough.whole(check, self._shown))
        return known

    def work(self, check: str, done: set[Hashable]) -> int:
        """How many sets have to be worked out for the view of a check, beside what is `done`; and what it does."""
        group = self._rough.at_once(check)
        if group is None or group in done:
            return 0
        done.add(group)
        return self._several

    def _new_view(self, entries: Sequence[Entry]) -> Prospect:
        if entries.count(entries[0]) == len(entries):  # as most do: it tells nothing
            return Prospect(tuple([(chance,) * len(entries) for chance in entries[0][0]]), 0.0)
        rows, doubts = zip(*entries, strict=True)
        columns = tuple(zip(*rows, strict=True))
        told = [sum(map(mul, self.weights, column)) for column in columns]
        doubt = sum(map(mul, self.weights, doubts))
        return Prospect(columns, entropy(told) - doubt)

    def bits(self, columns: Sequence[Chances]) -> float:
        """What a check (or several at once) tells about which repair comes first."""
        left = sum([self._spread(list(map(mul, self.weights, column))) for column in columns])
        return self._open - left

    def _spread(self, weights: list[float]) -> float:
        """Uncertainty about the repair, times the probability of the weights."""
        shares = [sum(weights[a:b]) if b - a > 1 else weights[a] for a, b in self.spans]
        total = sum(shares)
        return (total * log2(total) if total > 0 else 0.0) + entropy(shares)

    def _doubt(self, unknown: float) -> float:
        """Bits that are open in all: what the pool leaves out, and what is not in the book, are doubt as well.

        The hypotheses left out are taken to be as far apart as those of the pool.
        """
        left_out = max(1 - self._held - unknown, 0.0)
        return entropy((self._held, left_out, unknown)) + (self._held + left_out) * self._open

    def settled(self, bits: float) -> float:
        """The share, from 0 to 1, of all doubt that so many bits about the hypotheses of the pool take away."""
        return min(1.0, max(0.0, self._held * bits / self.doubt)) if self.doubt > 0 else 0.0

    def after(self, column: Chances) -> tuple[float, tuple[tuple[str, float], ...]]:
        """The chance of a finding, and of each part to be at fault after it, likeliest first."""
        weights = list(map(mul, self.weights, column))
        total = sum(weights)
        shares: dict[str, float] = {}
        for part, weight in zip(self._parts, weights, strict=True) if total > 0 else ():
            shares[part] = shares.get(part, 0.0) + weight / total
        return total, tuple(sorted(shares.items(), key=lambda item: (-round(item[1], 9), item[0])))


def _leading(belief: Belief, size: int) -> tuple[Hypothesis, ...]:
    """The leading hypotheses, no more than hold `NEARLY_ALL` of what they could."""
    left = (1 - belief.unknown) * (1 - NEARLY_ALL)
    total = 1 - belief.unknown
    for count, hypothesis in enumerate(belief.hypotheses[:size]):
        if total <= left:
            return belief.hypotheses[:count]
        total -= hypothesis.chance
    return belief.hypotheses[:size]


def both(one: Sequence[Chances], other: Sequence[Chances]) -> list[Chances]:
    """The columns of two checks done together."""
    return [tuple(map(mul, a, b)) for a in one for b in other]


def _spans(work: Sequence[str]) -> list[tuple[int, int]]:
    """Where equal neighbours begin and end."""
    starts = [i for i, one in enumerate(work) if i == 0 or work[i - 1] != one]
    return list(zip(starts, [*starts[1:], len(work)], strict=True))
