"""The field of tests that may mislead: posteriors of the faults, each test done at most once.

Doing the same test again would give the same wrong answer, so a test whose outcome is not certain is used up by doing
it. Different orders of the same outcomes lead to the same state.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.entropy import entropy
from coldiron.planner.puzzle import TINY, Move, Prices, Split, State, TestOutcome, cheapest
from coldiron.record import dataclass

USELESS = 1e-9
"""A test that gives no more bits than this gives none."""


@dataclass(frozen=True, slots=True)
class Doubts:
    """Faults, and tests whose outcome is a matter of chance.

    Attributes:
        groups: Number of the group of each fault, from 0.
        splits: The tests; their branches are not used.
        rows: For each test and outcome, its chance under each fault.
        prices: What the tests cost besides.
        confidence: A group this likely counts as found.
    """

    groups: Sequence[int]
    splits: Sequence[Split]
    rows: Sequence[Sequence[Sequence[float]]]
    prices: Prices
    confidence: float


class BeliefField:
    """States are posteriors, rounded to 12 digits, with the mask of tests that are used up."""

    def __init__(self, doubts: Doubts) -> None:
        self.doubts = doubts
        self._moves: dict[State, list[Move]] = {}
        self._spent = [any(0 < c < 1 for row in rows for c in row) for rows in doubts.rows]

    def start(self, priors: Sequence[float], setup: int) -> State:
        """The state before any test."""
        return (_scaled(priors), 0), 0, setup

    def size(self, state: State) -> int:
        """How many faults are still possible."""
        return sum(weight > 0 for weight in posterior(state))

    def settled(self, state: State) -> bool:
        """True if some group is likely enough, or no test tells anything about the groups."""
        return max(self._shares(posterior(state))) >= min(self.doubts.confidence, 1.0) - TINY or not self.moves(state)

    def bound(self, state: State) -> float:
        """The cheapest test at least."""
        if self.settled(state):
            return 0.0
        return min(self.doubts.splits[move.split].cost for move in self.moves(state))

    def moves(self, state: State) -> list[Move]:
        """Every test of use that is not used up."""
        known = self._moves.get(state)
        if known is None:
            known = self._moves[state] = self._new_moves(state)
        return known

    def bits(self, state: State, move: Move) -> float:
        """What a test tells about the groups."""
        left = sum(o.chance * entropy(self._shares(posterior(o.state)), 1.0) for o in move.outcomes)
        return entropy(self._shares(posterior(state)), 1.0) - left

    def _new_moves(self, state: State) -> list[Move]:
        weights, used = state[0]
        before = entropy(self._shares(weights), 1.0)
        found = []
        for number, split in enumerate(self.doubts.splits):
            if used >> number & 1:
                continue
            after = used | (self._spent[number] << number)
            outcomes, left = [], 0.0
            for k, row in enumerate(self.doubts.rows[number]):
                joint = [weight * chance for weight, chance in zip(weights, row, strict=True)]
                chance = sum(joint)
                if chance > TINY:
                    left += entropy(self._shares(joint), chance) * chance
                    outcomes.append(
                        TestOutcome(k, chance, ((_scaled(joint), after), state[1] | split.opens, split.setup))
                    )
            if before - left > USELESS:
                found.append(Move(number, self.doubts.prices.of(split, state), tuple(outcomes)))
        return cheapest(found)

    def _shares(self, weights: Sequence[float]) -> list[float]:
        shares = [0.0] * (max(self.doubts.groups) + 1)
        for group, weight in zip(self.doubts.groups, weights, strict=True):
            shares[group] += weight
        return shares


def posterior(state: State) -> tuple[float, ...]:
    """Chance of each fault in a state of this field."""
    weights: tuple[float, ...] = state[0][0]
    return weights


def _scaled(weights: Sequence[float]) -> tuple[float, ...]:
    total = sum(weights)
    return tuple(round(weight / total, 12) for weight in weights)
