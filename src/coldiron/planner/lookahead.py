"""A good order of tests where the exact one would take too long.

The worth of a state is judged by following a simple rule (most information for its price) from there on; a better
rule tries the leading tests and follows the simple one after each; a better one still follows that. Small remainders
are solved exactly on the way.
"""

from __future__ import annotations

from coldiron.planner.exact import ExactSearch, TooMuchWorkError
from coldiron.planner.puzzle import TINY, Field, Move, State

WIDTHS = (1, 4, 8)
"""How many leading tests are tried at each level of looking ahead."""

SMALL = 10
SMALL_STEPS = 500
"""So few cases are solved exactly, if that takes no more than so many steps."""


class Lookahead:
    """Chooses tests in a field by looking ahead, within a bounded number of steps per choice."""

    def __init__(self, solver: ExactSearch, level: int, steps: int, small: int = SMALL) -> None:
        """Take the exact search of a field, and how far to look.

        Args:
            solver: Solves small remainders; what it has found already is used.
            level: 0 is the simple rule, 2 the best.
            steps: How many tests one choice may weigh, in all states together, before it tries no more than the
                leading test of each state; after as many again states are judged by their lower bounds.
            small: So few cases are solved exactly.
        """
        self.field = solver.field
        self._size = small
        self._level = level
        self._steps = steps
        self._left = steps
        self._solver = solver
        self._worth: dict[tuple[State, int], float] = {}

    def best(self, state: State) -> Move | None:
        """The test to do next; None if the state is settled."""
        if self.field.settled(state):
            return None
        self._left = self._steps
        if self._small(state) is not None:
            return self._solver.best(state)
        if self._level == 0:
            return by_yield(self.field, state)[0]
        return self._choose(state, self._level)[1]

    def _choose(self, state: State, level: int) -> tuple[float, Move]:
        ranked = by_yield(self.field, state)
        self._left -= len(ranked)
        best = float("inf"), ranked[0]
        for move in ranked[: WIDTHS[level]]:
            if self._left <= 0 and best[0] < float("inf"):
                break
            if move.price + sum(o.chance * self._solver.floor(o.state) for o in move.outcomes) >= best[0] - TINY:
                continue
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
        if small is None and self._left <= -self._steps:
            return self._solver.floor(state)
        value = self._choose(state, level)[0] if small is None else small
        self._worth[state, level] = value
        return value

    def _small(self, state: State) -> float | None:
        """The exact worth of a state, if there are few cases or it was found before."""
        if self.field.size(state) > self._size and not self._solver.found(state):
            return None
        self._solver.steps = SMALL_STEPS
        try:
            return self._solver.value(state)
        except TooMuchWorkError:
            return None
        finally:
            self._left -= SMALL_STEPS - self._solver.steps


def by_yield(field: Field, state: State) -> list[Move]:
    """The tests by bits for their price, most first, equal ones in the order of their numbers."""

    def rank(move: Move) -> tuple[float, int]:
        return -round(field.bits(state, move) / move.price, 9) if move.price > 0 else -9e99, move.split

    return sorted(field.moves(state), key=rank)
