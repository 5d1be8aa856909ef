"""A good order of tests where the exact one would take too long.

The worth of a state is judged by following a simple rule (most information for its price) from there on; a better
rule tries the leading tests and follows the simple one after each; a better one still follows that. Small remainders
are solved exactly on the way.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.diagnosis.exact import Solver, TooMuchWorkError
from coldiron.diagnosis.puzzle import TINY, Field, Move, State

WIDTHS = (1, 6, 10)
"""How many leading tests are tried at each level of looking ahead."""

SMALL = 10
"""So few cases are solved exactly, if that takes no more than `SMALL_STEPS`."""

SMALL_STEPS = 200


class Lookahead:
    """Chooses tests in a field by looking ahead, within a bounded number of steps per choice."""

    def __init__(self, field: Field, level: int, steps: int, small: int = SMALL) -> None:
        """Take the field and how far to look.

        Args:
            field: The states.
            level: 0 is the simple rule, 2 the best.
            steps: How many states one choice may look at.
            small: So few cases are solved exactly.
        """
        self.field = field
        self._size = small
        self._level = level
        self._steps = steps
        self._left = steps
        self._solver = Solver(field, 0)
        self._worth: dict[tuple[State, int], float] = {}

    def best(self, state: State) -> Move | None:
        """The test to do next; None if the state is settled."""
        if self.field.settled(state):
            return None
        self._left = self._steps
        if self.field.size(state) <= self._size:
            try:
                self._solver.steps = SMALL_STEPS
                return self._solver.best(state)
            except TooMuchWorkError:
                pass
        return self._choose(state, self._level)[1]

    def _choose(self, state: State, level: int) -> tuple[float, Move]:
        leading = by_yield(self.field.moves(state))[: WIDTHS[level]]
        best = float("inf"), leading[0]
        for move in leading:
            value = move.price + sum(o.chance * self._value(o.state, max(0, level - 1)) for o in move.outcomes)
            if value < best[0] - TINY:
                best = value, move
        return best

    def _value(self, state: State, level: int) -> float:
        """What following the rule of this level from here on costs, or an estimate once the steps run out."""
        known = self._worth.get((state, level))
        if known is not None:
            return known
        if self.field.settled(state):
            return 0.0
        small = self._small(state)
        if small is None and self._left <= 0:
            return self.field.bound(state)
        self._left -= 1
        value = self._choose(state, level)[0] if small is None else small
        self._worth[state, level] = value
        return value

    def _small(self, state: State) -> float | None:
        if self.field.size(state) > self._size:
            return None
        try:
            self._solver.steps = SMALL_STEPS
            return self._solver.value(state)
        except TooMuchWorkError:
            return None


def by_yield(moves: Sequence[Move]) -> list[Move]:
    """The tests by bits for their price, most first, equal ones in the order of their numbers."""
    return sorted(moves, key=lambda move: (-round(move.bits / move.price, 9) if move.price > 0 else -9e99, move.split))
