"""The cheapest order of tests on plain numbers.

    >>> tests = [Test("fuse", 2.0, [1, 0, 0]), Test("relay", 1.0, [0, 1, 0])]
    >>> policy = plan([0.5, 0.3, 0.2], tests)
    >>> policy.test, round(policy.expected_cost, 3)
    ('relay', 2.4)

Up to a dozen faults the order is exact, often up to sixteen, sometimes beyond. Where that would take too long, the next
test is found by looking two tests ahead and following information for its price from there, and after it the exact
search is tried again. Which of the two is decided by counting steps, not seconds, so the same numbers give the same
order on every machine. A consultation asks this very code once few suspects are left (`order.py`).
`tests/bench/bench_planner.py` measures how close that comes.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import cached_property, partial
from typing import Any

from coldiron.planner.exact import ExactSearch, TooMuchWorkError
from coldiron.planner.lookahead import Lookahead
from coldiron.planner.masks import MaskField
from coldiron.planner.noisy import BeliefField, Doubts, posterior
from coldiron.planner.puzzle import Field, Move, Prices, Puzzle, Split, State
from coldiron.record import dataclass

SMALL, STEPS_IF_SMALL, STEPS = 12, 5_000, 500
"""How many tests the exact search weighs for one choice before looking ahead takes over: so many for a small number of
faults, so many for more. Each counts in every state in which it is weighed."""

LOOK = 1_500
"""How many tests looking ahead weighs for one choice, where it has a choice."""


@dataclass(frozen=True, slots=True)
class Test:
    """A test: what it costs and what it shows under each fault.

    Attributes:
        name: What it is called.
        cost: What it costs, in any unit, above 0.
        positive: Chance that it is positive under each fault; outcome 0 is negative, 1 positive.
        outcomes: Instead of `positive`, for each outcome its chance under each fault; they sum to 1 for every fault.
        opens: What has to be opened for it, paid once.
        setup: The set-up it needs, by a name or anything else that can be a key.
    """

    __test__ = False  # its name makes test runners collect it

    name: str
    cost: float
    positive: Sequence[float] = ()
    outcomes: Sequence[Sequence[float]] = ()
    opens: tuple[str, ...] = ()
    setup: Hashable = ""

    def rows(self) -> list[list[float]]:
        """For each outcome its chance under each fault."""
        if self.outcomes:
            return [list(row) for row in self.outcomes]
        return [[1 - chance for chance in self.positive], list(self.positive)]


@dataclass(frozen=True, slots=True)
class Node:
    """One place of the tree: the faults still possible with their odds, and the test to do, empty if none.

    `branches` are (outcome, its chance here, what follows).
    """

    faults: tuple[tuple[int, float], ...]
    test: str = ""
    branches: tuple[tuple[int, float, Node], ...] = ()


class Policy:
    """What to test first, and then, until one group is left, or is as likely as asked, or no test tells anything."""

    def __init__(self, problem: _Problem, steps: int | None, *, look: bool) -> None:
        self._problem = problem
        self._steps = steps
        self._solver = ExactSearch(problem.field, 0)
        self._looks = look
        self._moves: dict[State, Move | None] = {}
        self._costs: dict[State, float] = {}
        self._best(problem.start)
        self.exact = self._solver.found(problem.start)
        """True if no order can cost less."""

    @property
    def test(self) -> str:
        """Name of the test to do first; empty if there is none to do."""
        move = self._best(self._problem.start)
        return self._problem.names[move.split] if move else ""

    @cached_property
    def expected_cost(self) -> float:
        """Expected cost of the whole tree."""
        return self._cost(self._problem.start)

    @cached_property
    def tree(self) -> Node:
        """The whole tree."""
        return self._node(self._problem.start)

    @cached_property
    def _look(self) -> Lookahead:
        """What takes over where the exact search gives up."""
        if not self._looks:
            return Lookahead(self._solver, 0, 0, small=0)
        size = self._problem.field.size(self._problem.start)
        return Lookahead(self._solver, 2 if size <= 24 else 1 if size <= 60 else 0, LOOK)

    def _best(self, state: State) -> Move | None:
        """The test to do in a state, as if it had been asked for just there."""
        if state not in self._moves:
            self._solver.steps = self._allowed(state)
            try:
                self._moves[state] = self._solver.best(state)
            except TooMuchWorkError:
                self._moves[state] = self._look.best(state)
        return self._moves[state]

    def _allowed(self, state: State) -> int:
        """Steps of the exact search for one choice."""
        if self._steps is not None:
            return self._steps
        return STEPS_IF_SMALL if self._problem.field.size(state) <= SMALL else STEPS

    def _cost(self, state: State) -> float:
        known = self._costs.get(state)
        if known is None:
            move = self._best(state)
            known = move.price + sum(o.chance * self._cost(o.state) for o in move.outcomes) if move else 0.0
            self._costs[state] = known
        return known

    def _node(self, state: State) -> Node:
        faults = self._problem.odds(state)
        move = self._best(state)
        if move is None:
            return Node(faults)
        branches = tuple((o.number, o.chance, self._node(o.state)) for o in move.outcomes)
        return Node(faults, self._problem.names[move.split], branches)


@dataclass(frozen=True, slots=True)
class _Problem:
    """A field with its first state, the names of its tests, and how to read a state."""

    field: Field
    start: State
    names: tuple[str, ...]
    odds: Callable[[State], tuple[tuple[int, float], ...]]


def plan(
    priors: Sequence[float],
    tests: Sequence[Test],
    groups: Sequence[Hashable] | None = None,
    *,
    confidence: float = 1.0,
    openings: Mapping[str, float] | None = None,
    setup: Hashable = "",
    change: Callable[[Any, Any], float] | None = None,
    steps: int | None = None,
    look: bool = True,
    doubtful: bool = False,
) -> Policy:
    """The order of tests that costs least.

    Args:
        priors: Probability of each fault (or set of faults); they are scaled to sum to 1.
        tests: What can be done. A test that is not certain under some fault is done once at most.
        groups: What each fault counts as, for instance its repair; faults of one group are not told apart.
        confidence: A group this likely counts as found.
        openings: Cost of opening each thing that a test `opens`.
        setup: The set-up at the start.
        change: Cost of going from one set-up to another.
        steps: Tests that the exact search may weigh for one choice; as many as take about a tenth of a second if None.
        look: Whether to look ahead where the exact search gives up; else the test that tells most for its price is
            taken there.
        doubtful: True if several of the faults are one and the same, each for one way in which its doubtful tests may
            come out. A test then serves only if it shifts the odds of the groups.

    Raises:
        ValueError: if a number is not possible, or the lengths do not fit.
    """
    openings = openings or {}
    names = list(groups) if groups is not None else list(range(len(priors)))
    _check(priors, tests, names, openings)
    total = sum(priors)
    weights = [prior / total for prior in priors]
    covers = {name: k for k, name in enumerate(sorted(openings))}
    setups = list(dict.fromkeys([setup, *(test.setup for test in tests)]))
    prices = Prices(
        [openings[name] for name in covers], (lambda a, b: change(setups[a], setups[b])) if change is not None else None
    )
    rows = [test.rows() for test in tests]
    splits = [
        Split(test.cost, _branches(row), sum(1 << covers[name] for name in set(test.opens)), setups.index(test.setup))
        for test, row in zip(tests, rows, strict=True)
    ]
    order = {name: k for k, name in enumerate(dict.fromkeys(names))}
    homes = [order[name] for name in names]
    labels = tuple(test.name for test in tests)
    if all(chance in {0, 1} for table in rows for row in table for chance in row):
        puzzle = Puzzle(weights, _masks(homes), splits, prices, confidence, doubtful)
        start: State = sum(1 << i for i, weight in enumerate(weights) if weight > 0), 0, 0
        return Policy(_Problem(MaskField(puzzle), start, labels, partial(_odds_of_mask, weights)), steps, look=look)
    field = BeliefField(Doubts(homes, splits, rows, prices, confidence))
    return Policy(_Problem(field, field.start(weights, 0), labels, _odds_of_posterior), steps, look=look)


def _masks(homes: Sequence[int]) -> list[int]:
    """The faults of each group as a mask."""
    return [sum(1 << i for i, home in enumerate(homes) if home == k) for k in range(max(homes) + 1)]


def _odds_of_mask(weights: Sequence[float], state: State) -> tuple[tuple[int, float], ...]:
    left = [(i, weight) for i, weight in enumerate(weights) if state[0] >> i & 1]
    whole = sum(weight for _, weight in left)
    return tuple((i, weight / whole) for i, weight in left)


def _odds_of_posterior(state: State) -> tuple[tuple[int, float], ...]:
    return tuple((i, weight) for i, weight in enumerate(posterior(state)) if weight > 0)


def _branches(rows: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """The faults that lead to each outcome for certain, as masks."""
    return tuple(sum(1 << i for i, chance in enumerate(row) if chance == 1) for row in rows)


def _check(
    priors: Sequence[float], tests: Sequence[Test], groups: Sequence[Hashable], openings: Mapping[str, float]
) -> None:
    """Refuse what cannot be planned, in a sentence."""
    if not priors or min(priors) < 0 or sum(priors) <= 0:
        raise ValueError("priors must not be negative, and one of them above 0")
    if len(groups) != len(priors):
        raise ValueError(f"{len(groups)} groups for {len(priors)} faults")
    for test in tests:
        if not test.cost >= 0:
            raise ValueError(f"the cost of {test.name} is {test.cost}")
        if any(name not in openings for name in test.opens):
            raise ValueError(f"{test.name} opens {', '.join(test.opens)}, and not all of these have a cost")
        rows = test.rows()
        if any(len(row) != len(priors) for row in rows):
            raise ValueError(f"{test.name} needs a chance for each of {len(priors)} faults")
        for column in zip(*rows, strict=True):
            if min(column) < 0 or abs(sum(column) - 1) > 1e-6:
                raise ValueError(f"the chances of {test.name} under one fault must lie in 0 to 1 and sum to 1")
