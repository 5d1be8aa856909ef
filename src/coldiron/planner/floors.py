"""Lower bounds: the least that telling the cases of a mask apart can cost, whatever the order of tests.

Every price c is cut in two at a level t: its base, min(c, t), and its top, what stands above t. No order costs less
than the least for the bases and the least for the tops together, so the two are added.

- Tops: every case pays at least for the dearest of the tests that it cannot do without; what parts it from some other
  case costs no less than the cheapest test that does.
- Bases: information has to be bought, as many bits as the classes hold. A test done in a share q of the jobs gives no
  more than q bits, nor than the smaller side p of its outcomes allows: q times the entropy of p / q once q is above
  2 p. What the bits cost at least is found by paying for each of them as much as the level (Lagrange's bound, which
  holds at any price of a bit).
- Bases once more: the best of all trees has so many branchings (Huffman 1952), and each costs as much as the cheapest
  test; only what tests cost above that is then left to be paid for information.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from heapq import heapify, heappop, heapreplace
from math import log2

from coldiron.entropy import entropy
from coldiron.planner.puzzle import Puzzle, Split

Source = tuple[float, float, float, float, float]
"""A test as a source of bits: its cost; what it gives if it is done wherever it tells anything; in what share of the
jobs that is; up to what cost, in prices of a bit, that pays; and the share of the jobs in its smaller outcome."""


class Floors:
    """Lower bounds for the masks of a puzzle, if all that can be told apart has to be."""

    def __init__(self, puzzle: Puzzle, weight: Callable[[int], float]) -> None:
        """Take the puzzle, and how to ask for the probability of a mask."""
        self._weights = puzzle.weights
        self._weight = weight
        cheapest_first = sorted(puzzle.splits, key=lambda split: split.cost)
        self._classes = _classes(puzzle)
        self._apart = _apart(puzzle, cheapest_first)
        self._two = [(split.cost, split.branches[0]) for split in cheapest_first if len(split.branches) == 2]
        self._many = [split for split in cheapest_first if len(split.branches) > 2]
        self._arity = max([2, *(len(split.branches) for split in puzzle.splits)])
        self._unit = log2(self._arity)

    def of(self, mask: int) -> float:
        """Least expected cost from a mask on that some test can part."""
        whole = self._weight(mask)
        shares = [self._weight(mask & each) / whole for each in self._classes if mask & each]
        sources = self._sources(mask, whole)
        tops = self._tops(mask, whole)
        bits, least = entropy(shares, 1.0), sources[0][0]

        def at(level: float) -> float:
            return self._bought(sources, bits, level, 0.0) + _above(tops, level)

        best, level = _highest(at, sorted({source[0] for source in sources}), _marginal(sources, bits))
        path = least * external_path(shares, self._arity)
        return max(best, path + self._bought(sources, bits, level, least) + _above(tops, level))

    def _sources(self, mask: int, whole: float) -> list[Source]:
        """The tests that part a mask, cheapest first."""
        found = []
        seen = {0, mask}
        for cost, branch in self._two:
            part = mask & branch
            if part not in seen:
                seen.add(part)
                seen.add(mask ^ part)
                share = self._weight(part) / whole
                smaller = min(share, 1 - share)
                always = -log2(1 - smaller)
                found.append((cost, (1 - smaller) * always - smaller * log2(smaller), 1.0, always, smaller))
        return sorted([*found, *self._of_many(mask, whole)]) if self._many else found

    def _of_many(self, mask: int, whole: float) -> list[Source]:
        """The tests of more than two outcomes that part a mask."""
        found = []
        for split in self._many:
            shares = [self._weight(mask & branch) / whole for branch in split.branches if mask & branch]
            if len(shares) > 1:
                bits, most = entropy(shares, 1.0), log2(len(shares))
                found.append((split.cost, bits, bits / most, most, 0.0))
        return found

    def _tops(self, mask: int, whole: float) -> list[tuple[float, float]]:
        """For every case the dearest of the tests that it cannot do without, and its share."""
        return [
            (next((cost for cost, others in apart if others & mask), 0.0), weight / whole)
            for i, (apart, weight) in enumerate(zip(self._apart, self._weights, strict=True))
            if mask >> i & 1
        ]

    def _bought(self, sources: Sequence[Source], bits: float, level: float, paid: float) -> float:
        """Least that bits cost from tests of a base cost up to a level, of which a part is paid already."""
        price = (level - paid) / self._unit
        if price <= 0:
            return 0.0
        total = price * bits
        for cost, gives, share, always, smaller in sources:
            if cost >= level:
                break
            steep = (cost - paid) / price
            if steep <= always:
                total -= price * gives - (cost - paid) * share
            elif steep < 1:
                total += price * smaller * log2(2**steep - 1)
        return total


def _above(tops: Sequence[tuple[float, float]], level: float) -> float:
    """What tops cost above a level."""
    return sum([share * (top - level) for top, share in tops if top > level])


def _marginal(sources: Sequence[Source], bits: float) -> float:
    """The cost of the test at which the bits are bought, if the cheapest sell all they have."""
    for cost, gives, *_ in sources:
        bits -= gives
        if bits <= 0:
            return cost
    return sources[-1][0]


def _highest(value: Callable[[float], float], places: Sequence[float], first: float) -> tuple[float, float]:
    """The highest value and its place, climbing from a first guess as long as it rises."""
    at = places.index(first)
    best = value(first), first
    for step in (1, -1):
        here = at + step
        while 0 <= here < len(places) and (new := value(places[here])) > best[0]:
            best = new, places[here]
            here += step
        if best[1] != first:
            break
    return best


def external_path(weights: Sequence[float], arity: int) -> float:
    """Least sum of weight times depth over trees of these leaves, at most `arity` branches a node (Huffman 1952)."""
    if len(weights) < 2:
        return 0.0
    heap = [*weights, *[0.0] * (-(len(weights) - 1) % (arity - 1))]
    heapify(heap)
    total = 0.0
    while len(heap) > 1:
        joined = sum([heappop(heap) for _ in range(arity - 1)]) + heap[0]
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
