"""Test first, or repair now? On plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from operator import mul

from coldiron.planner.repair_order import Search
from coldiron.record import dataclass

TINY = 1e-9
"""A test has to save more than this to be worth doing."""


@dataclass(frozen=True, slots=True)
class Trial:
    """A test that may be done before repairing: its cost, and for each outcome its chance under each possibility."""

    cost: float
    rows: Sequence[Sequence[float]]


class Weighing:
    """Weighs tests against repairing at once in the best order.

    A test is worth its cost if, on average over its outcomes, repairing afterwards costs that much less. Looking one
    test ahead misses tests that pay only together, so the leading ones are followed further: after each, whatever
    looks best one test ahead is done until none pays.
    """

    def __init__(
        self,
        broken: Sequence[int],
        repairs: Sequence[tuple[int, float]],
        trials: Sequence[Trial],
        give_up: float,
        steps: int = 1000,
    ) -> None:
        """Take what may be wrong and what can be done.

        Args:
            broken: For each possibility the mask of things that are wrong.
            repairs: The mask of things that each repair mends, and its cost.
            trials: The tests; each can be done once.
            give_up: What it costs if no repair helps.
            steps: How often it may look one test ahead before it stops following.
        """
        self._broken = broken
        self._search = Search(tuple(repairs), give_up)
        self._trials = trials
        self._steps = steps
        self._repair: dict[tuple[float, ...], float] = {}

    def repair_cost(self, chances: Sequence[float]) -> float:
        """Expected cost of repairing at once; `chances` need not sum to 1, the cost is weighted by them."""
        key = tuple(chances)
        known = self._repair.get(key)
        if known is None:
            joined: dict[int, float] = {}
            for things, chance in zip(self._broken, key, strict=True):
                joined[things] = joined.get(things, 0.0) + chance
            known = self._repair[key] = self._search.cost(list(joined.items()))
        return known

    def best(self, chances: Sequence[float], width: int = 8, second: int = 3) -> tuple[int | None, float, float | None]:
        """What to do now: the number of the test (None to repair), the cost of repairing, the cost of the best test.

        `width` is how many of the leading tests are followed further; `second` how many are tried after each of them
        before following, 0 to follow at once.
        """
        left = [self._steps]
        now = self.repair_cost(chances)
        ahead = sorted((self._after(k, chances), k) for k in self._open(0))
        best: tuple[float, int] | None = None
        for _, k in ahead[:width]:
            value = self._cost(k, chances) + sum(
                self._try(after, 1 << k, left, second) for after in self._outcomes(k, chances)
            )
            if best is None or value < best[0] - TINY:
                best = value, k
        if best is None:
            return None, now, None
        return (best[1] if best[0] < now - TINY else None), now, best[0]

    def _open(self, used: int) -> list[int]:
        return [k for k in range(len(self._trials)) if not used >> k & 1]

    def _cost(self, k: int, chances: Sequence[float]) -> float:
        return self._trials[k].cost * sum(chances)

    def _outcomes(self, k: int, chances: Sequence[float]) -> list[tuple[float, ...]]:
        return [tuple(map(mul, chances, row)) for row in self._trials[k].rows]

    def _after(self, k: int, chances: Sequence[float]) -> float:
        """Cost of doing a test and then repairing."""
        return self._cost(k, chances) + sum(self.repair_cost(after) for after in self._outcomes(k, chances))

    def _try(self, chances: tuple[float, ...], used: int, left: list[int], width: int) -> float:
        """Cost of repairing, or of the best of the leading tests with what follows it, whichever is less."""
        if width == 0 or left[0] <= 0:
            return self._follow(chances, used, left)
        left[0] -= 1
        ahead = sorted((self._after(k, chances), k) for k in self._open(used))
        options = [self.repair_cost(chances)]
        for _, k in ahead[:width]:
            after = sum(self._follow(after, used | 1 << k, left) for after in self._outcomes(k, chances))
            options.append(self._cost(k, chances) + after)
        return min(options)

    def _follow(self, chances: tuple[float, ...], used: int, left: list[int]) -> float:
        """Cost of doing what looks best one test ahead until no test pays, then repairing."""
        now = self.repair_cost(chances)
        if left[0] <= 0:
            return now
        left[0] -= 1
        ahead = [(self._after(k, chances), k) for k in self._open(used)]
        if not ahead or min(ahead)[0] >= now - TINY:
            return now
        _, k = min(ahead)
        return self._cost(k, chances) + sum(
            self._follow(after, used | 1 << k, left) for after in self._outcomes(k, chances)
        )
