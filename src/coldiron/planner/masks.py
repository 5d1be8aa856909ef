"""The field of a puzzle: masks of cases, their probability, the tests of use, and lower bounds."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.entropy import entropy
from coldiron.planner.floors import Floors
from coldiron.planner.puzzle import TINY, Move, Puzzle, Split, State, TestOutcome


class MaskField:
    """States of a puzzle. All that is worked out about a mask is kept."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self._weight: dict[int, float] = {}
        self._bytes = [(k, _sums(puzzle.weights[k : k + 8])) for k in range(0, len(puzzle.weights), 8)]
        self._settled: dict[int, bool] = {}
        self._bound: dict[int, float] = {}
        self._cheapest_first = sorted(puzzle.splits, key=lambda split: split.cost)
        self._floors = Floors(puzzle, self.weight)

    def weight(self, mask: int) -> float:
        """Probability of a mask."""
        known = self._weight.get(mask)
        if known is None:
            known = self._weight[mask] = sum([table[mask >> k & 255] for k, table in self._bytes])
        return known

    def size(self, state: State) -> int:
        """How many cases are still possible."""
        mask: int = state[0]
        return mask.bit_count()

    def settled(self, state: State) -> bool:
        """True if one group is left, or likely enough, or no test is of use."""
        mask = state[0]
        known = self._settled.get(mask)
        if known is None:
            known = self._found(mask) or not any(self._useful(mask, split) for split in self.puzzle.splits)
            self._settled[mask] = known
        return known

    def moves(self, state: State) -> list[Move]:
        """Every test of use, of those that part the cases alike at the same place only the cheapest."""
        mask, opened, _ = state
        price = self.puzzle.prices.of
        best: dict[tuple[object, ...], tuple[float, int, list[tuple[int, int]]]] = {}
        for number, split in enumerate(self.puzzle.splits):
            if not self._useful(mask, split):
                continue
            parts = [(k, mask & branch) for k, branch in enumerate(split.branches) if mask & branch]
            key = (split.opens & ~opened, split.setup, *sorted(part for _, part in parts))
            entry = (price(split, state), number, parts)
            if key not in best or entry[0] < best[key][0] - TINY:
                best[key] = entry
        return [self._move(mask, opened, *entry) for entry in sorted(best.values(), key=lambda entry: entry[1])]

    def bits(self, state: State, move: Move) -> float:
        """What a test tells about the groups."""
        left = sum(outcome.chance * self._doubt(outcome.state[0]) for outcome in move.outcomes)
        return self._doubt(state[0]) - left

    def bound(self, state: State) -> float:
        """Least that any order of tests can cost from here on, openings and changes of set-up not counted."""
        mask = state[0]
        known = self._bound.get(mask)
        if known is None:
            known = self._bound[mask] = 0.0 if self.settled(state) else self._new_bound(mask)
        return known

    def _found(self, mask: int) -> bool:
        shares = self._shares(mask)
        if len(shares) <= 1:
            return True
        enough = self.puzzle.confidence
        return enough < 1 and max(shares) >= enough * self.weight(mask) - TINY

    def _doubt(self, mask: int) -> float:
        return entropy(self._shares(mask), self.weight(mask))

    def _shares(self, mask: int) -> list[float]:
        return [self.weight(mask & group) for group in self.puzzle.groups if mask & group]

    def _useful(self, mask: int, split: Split) -> bool:
        parts = [mask & branch for branch in split.branches if mask & branch]
        if len(parts) < 2 or not self.puzzle.doubtful:
            return len(parts) > 1
        whole = self.weight(mask)
        return any(
            abs(self.weight(part & group) * whole - self.weight(mask & group) * self.weight(part)) > TINY * whole
            for part in parts
            for group in self.puzzle.groups
        )

    def _move(self, mask: int, opened: int, price: float, number: int, parts: list[tuple[int, int]]) -> Move:
        split, whole = self.puzzle.splits[number], self.weight(mask)
        after = opened | split.opens
        outcomes = tuple([TestOutcome(k, self.weight(part) / whole, (part, after, split.setup)) for k, part in parts])
        return Move(number, price, outcomes)

    def _new_bound(self, mask: int) -> float:
        if self.puzzle.confidence < 1 or self.puzzle.doubtful:  # not everything has to be told apart
            return next(s.cost for s in self._cheapest_first if self._useful(mask, s))
        return self._floors.of(mask)


def _sums(weights: Sequence[float]) -> list[float]:
    """The sum of every selection of some weights, by its mask."""
    sums = [0.0]
    for weight in weights:
        sums += [known + weight for known in sums]
    return sums
