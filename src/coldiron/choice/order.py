"""The best order of checks, worked out to the end, where few suspects are left and checks are nearly certain.

Every hypothesis is a case; one under which a check is a matter of chance becomes several, one for each way it may come
out. The planner's exact search then finds the order that tells the parts apart in the fewest minutes, changes of the
machine's state and openings of areas included.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.choice.offers import Ways
from coldiron.choice.pool import Pool
from coldiron.choice.ranking import Ranked
from coldiron.planner.planner import Test, plan
from coldiron.record import dataclass

FEW = 10
"""Hypotheses at most for a plan. Planning for 14 made whole jobs no cheaper (`tests/bench/README.md`)."""

CASES = 14
"""Cases at most that findings split them into: about what the exact search takes within `STEPS`."""

SLIGHT = 0.02
LEFT_OUT = 0.15
"""Chances. A hypothesis less likely than the first is left out of the plan, while all so left out come to less than the
second: beyond that the plan would be one for another machine."""

CERTAIN = 0.85
"""Chance from which a finding is taken as certain: the plan knows certain findings only."""

POSSIBLE = 0.1
"""Chance below which a finding is left out where none is certain: one in ten seldom decides a plan."""

STEPS = 200
"""Checks the search may weigh, in all states together; past that the choice goes by information per minute."""


@dataclass(frozen=True, slots=True)
class OrderCase:
    """One hypothesis of the pool with the findings that checks have in it, by check."""

    hypothesis: int
    weight: float
    findings: dict[str, int]


def planned(pool: Pool, ranked: Sequence[Ranked], ways: Ways) -> str:
    """The check that the best order begins with; empty where that cannot be worked out."""
    kept = [i for i, weight in enumerate(pool.weights) if weight >= SLIGHT]
    if len(kept) > FEW or len({pool.first[i] for i in kept}) < 2 or sum(pool.weights[i] for i in kept) < 1 - LEFT_OUT:
        return ""
    cases = [OrderCase(i, pool.weights[i], {}) for i in kept]
    used = []
    for entry in ranked:
        split = [part for case in cases for part in _split(case, entry)]
        if len(split) <= CASES:
            cases = split
            used.append(entry)
    return _first(pool, cases, used, ways, doubtful=len(cases) > len(kept))


def _split(case: OrderCase, entry: Ranked) -> list[OrderCase]:
    """A case as it goes on by the findings that a check may have in it."""
    chances = [column[case.hypothesis] for column in entry.view.columns]
    top = max(chances)
    likely = [] if top >= CERTAIN else [chance for chance in chances if chance >= POSSIBLE]
    likely = likely or [top]
    whole = sum(likely)
    return [
        OrderCase(case.hypothesis, case.weight * chance / whole, {**case.findings, entry.offer.check: finding})
        for finding, chance in enumerate(chances)
        if chance >= min(likely)
    ]


def _first(pool: Pool, cases: list[OrderCase], used: Sequence[Ranked], ways: Ways, *, doubtful: bool) -> str:
    tests = [
        Test(
            name=entry.offer.check,
            cost=max(entry.offer.minutes, 0.01) / entry.offer.prefer,
            outcomes=_rows(cases, entry),
            opens=(entry.offer.area,),
            setup=ways.setup(entry.offer),
        )
        for entry in used
    ]
    policy = plan(
        [case.weight for case in cases],
        tests,
        [pool.first[case.hypothesis] for case in cases],
        openings={entry.offer.area: ways.opening(entry.offer.area) for entry in used},
        setup=ways.now(),
        change=ways.change,
        steps=STEPS,
        look=False,
        doubtful=doubtful,
    )
    return policy.test if policy.exact else ""


def _rows(cases: list[OrderCase], entry: Ranked) -> list[list[float]]:
    """For each finding that some case has, whether each case has it."""
    had = [case.findings[entry.offer.check] for case in cases]
    return [[float(one == finding) for one in had] for finding in sorted(set(had))]
