"""What has to be told apart, by which tests, and the states in between.

What is still possible is a bit mask of *cases*. A case is a fault, or a fault together with how a doubtful test would
come out; cases of one group need not be told apart. A state is the mask, the openings already paid for (a mask), and
the set-up that the last test left.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from coldiron.record import dataclass

State = tuple[Any, int, int]
"""What is still possible, as its field names it; mask of what is open; number of the present set-up."""

TINY = 1e-12
"""Costs that differ by no more than this are equal, and then the test that comes first in the list is taken."""


@dataclass(frozen=True, slots=True)
class Split:
    """A test: its cost, what it opens (a mask), its set-up, and the cases that lead to each outcome (masks)."""

    cost: float
    branches: tuple[int, ...] = ()
    opens: int = 0
    setup: int = 0


@dataclass(frozen=True, slots=True)
class TestOutcome:
    """One outcome of a test in a state: its number, its probability there, and the state it leads to."""

    number: int
    chance: float
    state: State


@dataclass(frozen=True, slots=True)
class Move:
    """A test in a state: its number, its price there, and its outcomes."""

    split: int
    price: float
    outcomes: tuple[TestOutcome, ...]


class Field(Protocol):
    """All states of a problem, as a search sees them."""

    def settled(self, state: State) -> bool:
        """True if nothing more has to be told apart, or nothing more can be."""
        ...

    def moves(self, state: State) -> list[Move]:
        """Every test of use, of those that do the same at the same place only the cheapest, in their order."""
        ...

    def bound(self, state: State) -> float:
        """Least that it can cost from here on."""
        ...

    def bits(self, state: State, move: Move) -> float:
        """What a test tells about the groups."""
        ...

    def size(self, state: State) -> int:
        """How many cases are still possible."""
        ...


@dataclass(frozen=True, slots=True)
class Prices:
    """What tests cost besides their own cost: openings, paid once, and going from one set-up to another."""

    openings: Sequence[float] = ()
    change: Callable[[int, int], float] | None = None

    def of(self, split: Split, state: State) -> float:
        """What a test costs in a state."""
        cost = split.cost
        closed = split.opens & ~state[1]
        if closed:
            cost += sum(price for k, price in enumerate(self.openings) if closed >> k & 1)
        if self.change and split.setup != state[2]:
            cost += self.change(state[2], split.setup)
        return cost


@dataclass(frozen=True, slots=True)
class Puzzle:
    """Cases, and tests whose outcome is certain in each case.

    Attributes:
        weights: Probability of each case.
        groups: The cases of each group, as masks.
        splits: The tests.
        prices: What they cost besides.
        confidence: A group this likely counts as found.
        doubtful: True if some cases stand for the outcomes of doubtful tests. A test then has to shift the odds of
            groups to be of use; otherwise it is enough that it parts the cases.
    """

    weights: Sequence[float]
    groups: Sequence[int]
    splits: Sequence[Split]
    prices: Prices = Prices()
    confidence: float = 1.0
    doubtful: bool = False


def cheapest(moves: Sequence[Move]) -> list[Move]:
    """Of moves to the very same states only the cheapest, the first of equals."""
    best: dict[tuple[tuple[float, State], ...], Move] = {}
    for move in moves:
        key = tuple(sorted((outcome.chance, outcome.state) for outcome in move.outcomes))
        if key not in best or move.price < best[key].price - TINY:
            best[key] = move
    return sorted(best.values(), key=lambda move: move.split)
