"""In which order to repair, and whether to test first: expected cost on plain numbers.

After each repair it is seen, at no cost, whether the machine works; that is all that is learnt from a repair.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Repairs:
    """The order of repairs that costs least, as places in the list of repairs, and its expected cost."""

    order: tuple[int, ...]
    expected_cost: float


def cost_over_probability(chances: Sequence[float], costs: Sequence[float], wrong: float = 1.0) -> Repairs:
    """Cheapest for its chance first: the best order when exactly one thing is wrong and each repair mends one thing.

    Args:
        chances: Probability that each thing is wrong; what is wanting to `wrong` is mended by none of them.
        costs: Cost of each repair.
        wrong: Probability that anything is wrong.

    Source: Kalagnanam and Henrion 1988 (arXiv 1304.2362), test the smallest cost over probability first.
    """
    order = sorted(range(len(costs)), key=lambda i: (costs[i] / chances[i] if chances[i] > 0 else float("inf"), i))
    left, total = wrong, 0.0
    for i in order:
        total += left * costs[i]
        left -= chances[i]
    return Repairs(tuple(order), total)


def best_repairs(
    causes: Sequence[tuple[int, float]], repairs: Sequence[tuple[int, float]], give_up: float = 0.0
) -> Repairs:
    """The best order, exactly, when a repair may mend several things and several things may be wrong at once.

    Args:
        causes: What may be wrong: a mask of things, and its probability.
        repairs: The mask of things that each repair mends, and its cost.
        give_up: What it costs if the machine still does not work and no repair could help any more.

    The work grows as 2 to the number of repairs; a dozen are quick.
    """
    return Search(tuple(repairs), give_up).best(causes)


class Search:
    """Orders of the same repairs for ever new probabilities."""

    def __init__(self, repairs: tuple[tuple[int, float], ...], give_up: float) -> None:
        """Take the mask of things that each repair mends with its cost, and the cost of giving up."""
        self._repairs = repairs
        self._give_up = give_up
        masks = [things for things, _ in repairs]
        self._apart = all(not one & other for k, one in enumerate(masks) for other in masks[:k])

    def best(self, causes: Sequence[tuple[int, float]]) -> Repairs:
        """The best order for these masks of things with their probabilities."""
        known: dict[int, tuple[float, int]] = {}
        total = self._value(0, causes, known)
        order: list[int] = []
        mended = 0
        while known[mended][1] >= 0:
            order.append(known[mended][1])
            mended |= self._repairs[order[-1]][0]
        return Repairs(tuple(order), total)

    def cost(self, causes: Sequence[tuple[int, float]]) -> float:
        """Expected cost of the best order."""
        if self._apart and all(things & things - 1 == 0 for things, _ in causes):
            return self._apart_cost(causes)
        return self._value(0, causes, {})

    def _apart_cost(self, causes: Sequence[tuple[int, float]]) -> float:
        """The same where one thing is wrong and no two repairs mend the same."""
        wrong = sum([share for things, share in causes if things])
        mended = [sum([share for cause, share in causes if cause & things]) for things, _ in self._repairs]
        priced = [(chance, cost) for chance, (_, cost) in zip(mended, self._repairs, strict=True) if chance > 0]
        tried = cost_over_probability([chance for chance, _ in priced], [cost for _, cost in priced], wrong)
        return tried.expected_cost + (wrong - sum(mended)) * self._give_up

    def _value(self, mended: int, causes: Sequence[tuple[int, float]], known: dict[int, tuple[float, int]]) -> float:
        if mended in known:
            return known[mended][0]
        broken: list[tuple[int, float]] = []
        left, wanted = 0.0, 0
        for things, chance in causes:
            if things & ~mended and chance > 0:
                broken.append((things, chance))
                left += chance
                wanted |= things & ~mended
        best = left * self._give_up, -1
        tried = False
        for k, (things, cost) in enumerate(self._repairs):
            if things & wanted:
                value = cost * left + self._value(mended | things, broken, known)
                if not tried or value < best[0] - 1e-12:
                    best, tried = (value, k), True
        known[mended] = best
        return best[0]
