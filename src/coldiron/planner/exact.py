"""The cheapest order of tests, exactly: depth-first search over states, cut off by lower bounds."""

from __future__ import annotations

from coldiron.planner.puzzle import TINY, Field, Move, State


class TooMuchWorkError(Exception):
    """The search would take more steps than it was allowed."""


class ExactSearch:
    """Finds the cheapest order of tests in a field."""

    def __init__(self, field: Field, steps: int) -> None:
        """Take the field, and how many tests may be weighed before giving up with `TooMuchWorkError`.

        A test counts in each state that is opened up. The bound counts these and not seconds, so that every machine
        gives up at the same place. Whoever goes on after that sets `steps` anew.
        """
        self.field = field
        self.steps = steps
        self._exact: dict[State, tuple[float, Move | None]] = {}
        self._least: dict[State, float] = {}

    def value(self, state: State) -> float:
        """Least expected cost from a state on.

        Raises:
            TooMuchWorkError: if the steps run out. What was found is kept.
        """
        return self._search(state, float("inf"))

    def best(self, state: State) -> Move | None:
        """The test to do next; None if the state is settled.

        Raises:
            TooMuchWorkError: if the steps run out.
        """
        self._search(state, float("inf"))
        return self._exact[state][1]

    def found(self, state: State) -> bool:
        """True if the least cost from a state on was found already."""
        return state in self._exact

    def floor(self, state: State) -> float:
        """What is known of the least cost from a state on: the least itself if it was found, else a lower bound."""
        if state in self._exact:
            return self._exact[state][0]
        return max(self._least.get(state, 0.0), self.field.bound(state))

    def _search(self, state: State, limit: float) -> float:
        """The value of a state if it is below the limit; else some lower bound of it that is not."""
        if state in self._exact:
            return self._exact[state][0]
        if self.field.settled(state):
            self._exact[state] = 0.0, None
            return 0.0
        if self._least.get(state, 0.0) >= limit:
            return self._least[state]
        if self.steps <= 0:
            raise TooMuchWorkError
        value, move = self._try_moves(state, limit)
        if move is None:
            self._least[state] = value
        else:
            self._exact[state] = value, move
        return value

    def _try_moves(self, state: State, limit: float) -> tuple[float, Move | None]:
        ranked = []
        moves = self.field.moves(state)
        self.steps -= len(moves)
        for move in moves:
            floors = [self.floor(outcome.state) for outcome in move.outcomes]
            least = move.price + sum(o.chance * floor for o, floor in zip(move.outcomes, floors, strict=True))
            ranked.append((least, move.split, move, floors))
        ranked.sort(key=lambda entry: entry[:2])
        best, found = limit, None
        for least, _, move, floors in ranked:
            if least >= best - TINY:
                break
            value = self._follow(move, floors, least, best)
            if value < best - TINY:
                best, found = value, move
        return best, found

    def _follow(self, move: Move, floors: list[float], least: float, best: float) -> float:
        """The value of a move if it is below `best`; else some lower bound of it that is not (or hardly) below."""
        total = least
        for outcome, floor in zip(move.outcomes, floors, strict=True):
            room = (best - total) / outcome.chance + floor
            total += outcome.chance * (self._search(outcome.state, room) - floor)
            if total >= best - TINY:
                break
        return total
