"""The field of a puzzle: masks of cases, their probability, the tests of use, and lower bounds."""

from __future__ import annotations

from heapq import heapify, heappop, heapreplace
from math import log2

from coldiron.diagnosis.puzzle import TINY, Move, Outcome, Puzzle, Split, State, entropy


class MaskField:
    """States of a puzzle. All that is worked out about a mask is kept."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self._weight: dict[int, float] = {0: 0.0}
        self._settled: dict[int, bool] = {}
        self._bound: dict[int, float] = {}
        self._cheapest_first = sorted(puzzle.splits, key=lambda split: split.cost)
        self._apart = _apart(puzzle, self._cheapest_first)
        self._classes = _classes(puzzle)

    def weight(self, mask: int) -> float:
        """Probability of a mask."""
        known = self._weight.get(mask)
        if known is None:
            low = mask & -mask
            known = self._weight[mask] = self.weight(mask ^ low) + self.puzzle.weights[low.bit_length() - 1]
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
        outcomes = tuple(Outcome(k, self.weight(part) / whole, (part, after, split.setup)) for k, part in parts)
        left = sum(self.weight(part) * entropy(self._shares(part), self.weight(part)) for _, part in parts)
        return Move(number, price, entropy(self._shares(mask), whole) - left / whole, outcomes)

    def _new_bound(self, mask: int) -> float:
        least = next(s.cost for s in self._cheapest_first if self._useful(mask, s))
        if self.puzzle.confidence < 1 or self.puzzle.doubtful:
            return least  # the other bounds hold only if everything has to be told apart
        weight, shares = self.weight(mask), [self.weight(mask & each) for each in self._classes if mask & each]
        arity = max(2, *(len(split.branches) for split in self.puzzle.splits))
        path = least * external_path(shares, arity)
        return max(path, self._dearest(mask), self._bits(mask, shares)) / weight

    def _dearest(self, mask: int) -> float:
        """Every case pays at least for the dearest of the tests it cannot do without."""
        total = 0.0
        for i, weight in enumerate(self.puzzle.weights):
            if mask >> i & 1:
                total += weight * next((cost for cost, others in self._apart[i] if others & mask), 0.0)
        return total

    def _bits(self, mask: int, shares: list[float]) -> float:
        """Information has to be bought: no test gives more than its own entropy here, the cheapest sells first."""
        weight = self.weight(mask)
        wanted, total = entropy(shares, weight), 0.0
        for split in self._cheapest_first:
            taken = min(wanted, entropy([self.weight(mask & branch) for branch in split.branches], weight))
            total += taken * split.cost / log2(max(2, len(split.branches)))
            wanted -= taken
            if wanted <= 0:
                break
        return total * weight


def external_path(weights: list[float], arity: int) -> float:
    """Least sum of weight times depth over trees of these leaves, at most `arity` branches a node (Huffman 1952)."""
    if len(weights) < 2:
        return 0.0
    heap = weights + [0.0] * (-(len(weights) - 1) % (arity - 1))
    heapify(heap)
    total = 0.0
    while len(heap) > 1:
        joined = sum(heappop(heap) for _ in range(arity - 1)) + heap[0]
        heapreplace(heap, joined)
        total += joined
    return total


def _classes(puzzle: Puzzle) -> list[int]:
    """The groups, those joined that no test can wholly tell apart."""
    alike: dict[tuple[int, ...], int] = {}
    for i in range(len(puzzle.weights)):
        shown = tuple(next((k for k, b in enumerate(s.branches) if b >> i & 1), -1) for s in puzzle.splits)
        alike[shown] = alike.get(shown, 0) | 1 << i
    classes: list[int] = []
    for mask in [*puzzle.groups, *alike.values()]:
        joined = mask
        for each in [each for each in classes if each & mask]:
            classes.remove(each)
            joined |= each
        classes.append(joined)
    return classes


def _apart(puzzle: Puzzle, cheapest_first: list[Split]) -> list[list[tuple[float, int]]]:
    """For each case, the cases of other groups by the cost of the cheapest test that parts the two, dearest first."""
    cases = range(len(puzzle.weights))
    home = {i: group for group in puzzle.groups for i in cases if group >> i & 1}
    found: list[list[tuple[float, int]]] = []
    for i in cases:
        costs: dict[float, int] = {}
        for j in cases:
            if not home[i] >> j & 1:
                both = 1 << i | 1 << j
                cost = next((s.cost for s in cheapest_first if all(b & both != both for b in s.branches)), 0.0)
                costs[cost] = costs.get(cost, 0) | 1 << j
        found.append(sorted(costs.items(), reverse=True))
    return found
