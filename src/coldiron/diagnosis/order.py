"""The best order of checks, worked out to the end, where few suspects are left and checks are nearly certain.

Every hypothesis is a case; one under which a check is a matter of chance becomes several, one for each way it may come
out. The planner's exact search then finds the order that tells the parts apart in the fewest minutes, changes of the
machine's state and openings of areas included.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.diagnosis.exact import Solver, TooMuchWorkError
from coldiron.diagnosis.masks import MaskField
from coldiron.diagnosis.offers import Ways
from coldiron.diagnosis.pool import Pool
from coldiron.diagnosis.puzzle import Prices, Puzzle, Split
from coldiron.diagnosis.ranking import Ranked
from coldiron.record import dataclass

FEW = 10
"""So many hypotheses are few."""

CASES = 14
"""So many cases are told apart exactly."""

SLIGHT = 0.02
"""Hypotheses less likely than this are left out of the plan; together they may not be more than `LEFT_OUT`."""

LEFT_OUT = 0.15

CERTAIN = 0.85
"""A finding this likely is taken as certain."""

POSSIBLE = 0.1
"""Where no finding is that likely, those less likely than this are left out."""

STEPS = 200
"""Checks the search may weigh, in all states together; past that the choice goes by information per minute."""


@dataclass(frozen=True, slots=True)
class Case:
    """One hypothesis of the pool with the findings that checks have in it, by check."""

    hypothesis: int
    weight: float
    findings: dict[str, int]


def planned(pool: Pool, ranked: Sequence[Ranked], ways: Ways) -> str:
    """The check that the best order begins with; empty where that cannot be worked out."""
    kept = [i for i, weight in enumerate(pool.weights) if weight >= SLIGHT]
    if len(kept) > FEW or len({pool.parts[i] for i in kept}) < 2 or sum(pool.weights[i] for i in kept) < 1 - LEFT_OUT:
        return ""
    cases = [Case(i, pool.weights[i], {}) for i in kept]
    used = []
    for entry in ranked:
        split = [part for case in cases for part in _split(case, entry)]
        if len(split) <= CASES:
            cases = split
            used.append(entry)
    doubtful = len(cases) > len(kept)
    return _first(pool, cases, used, ways, doubtful=doubtful)


def _split(case: Case, entry: Ranked) -> list[Case]:
    """A case as it goes on by the findings that a check may have in it."""
    chances = [column[case.hypothesis] for column in entry.view.columns]
    top = max(chances)
    likely = [] if top >= CERTAIN else [chance for chance in chances if chance >= POSSIBLE]
    likely = likely or [top]
    whole = sum(likely)
    return [
        Case(case.hypothesis, case.weight * chance / whole, {**case.findings, entry.offer.check: finding})
        for finding, chance in enumerate(chances)
        if chance >= min(likely)
    ]


def _first(pool: Pool, cases: list[Case], used: Sequence[Ranked], ways: Ways, *, doubtful: bool) -> str:
    parts = sorted({pool.parts[case.hypothesis] for case in cases})
    groups = [sum(1 << k for k, c in enumerate(cases) if pool.parts[c.hypothesis] == part) for part in parts]
    areas = sorted({entry.offer.area for entry in used})
    states = [ways.state(ways.present)]
    states += sorted({ways.state(entry.offer.state) for entry in used} - set(states))
    prices = Prices([ways.opening(area) for area in areas], lambda a, b: ways.change(states[a], states[b]))
    splits = [
        Split(
            cost=max(entry.offer.minutes, 0.01) / entry.offer.prefer,
            branches=_branches(cases, entry),
            opens=1 << areas.index(entry.offer.area),
            setup=states.index(ways.state(entry.offer.state)),
        )
        for entry in used
    ]
    field = MaskField(Puzzle([case.weight for case in cases], groups, splits, prices, doubtful=doubtful))
    try:
        move = Solver(field, STEPS).best(((1 << len(cases)) - 1, 0, 0))
    except TooMuchWorkError:
        return ""
    return used[move.split].offer.check if move else ""


def _branches(cases: list[Case], entry: Ranked) -> tuple[int, ...]:
    """The cases of each finding, as masks; findings that no case has are left out."""
    check = entry.offer.check
    found = sorted({case.findings[check] for case in cases})
    return tuple(sum(1 << k for k, case in enumerate(cases) if case.findings[check] == finding) for finding in found)
