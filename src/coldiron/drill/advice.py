"""What would be best next, and what it costs from here to the cause: the planner asked on the odds of a drill."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from math import log2

from coldiron.book.checks import Check
from coldiron.drill.step import Costs, of_check
from coldiron.drill.thinking import Causes
from coldiron.entropy import entropy
from coldiron.planner.planner import Policy, Test, plan
from coldiron.record import dataclass

SURE = 0.95
"""The chance of a part from which it is fixed and not asked about any more: as in a job."""

POOL, TESTS = 10, 12
"""Causes and checks that are planned with: the likeliest, and those that tell most for their minutes."""

FAINT = 0.01
"""A cause less likely than this is not planned for."""

STEPS = 150
"""Tests the planner may weigh for one choice."""

TELLS = 0.02
"""Bits that a check has to tell to be worth doing."""


@dataclass(frozen=True, slots=True)
class BestCheck:
    """The best next check, what it tells in bits, its minutes, and the minutes that are to be expected to the cause."""

    check: str
    bits: float
    minutes: float
    to_go: float


def best(causes: Causes, costs: Costs, done: Collection[str]) -> BestCheck | None:
    """The best next check; None where one part is sure, or no check tells anything."""
    parts = causes.by_part()
    if not parts or next(iter(parts.values())) >= SURE:
        return None
    ranked = rank(causes, costs, done)
    if not ranked:
        return None
    policy = _planned(causes, [check for _, _, check in ranked[:TESTS]], costs)
    names = {check.id: (bits, minutes) for bits, minutes, check in ranked}
    chosen = policy.test or ranked[0][2].id
    return BestCheck(chosen, *names[chosen], to_go=policy.expected_cost)


def rank(causes: Causes, costs: Costs, done: Collection[str]) -> list[tuple[float, float, Check]]:
    """(bits, minutes, check) of every check not done yet that tells anything, the most bits for its minutes first."""
    pool = _pool(causes)
    book = causes.setup.machine.book
    found = []
    for name in causes.setup.machine.checks:
        if name in done:
            continue
        check = book.checks[name]
        bits = told(causes, name, pool)
        if bits >= TELLS:
            found.append((bits, costs.minutes(book, of_check(check)), check))
    return sorted(found, key=lambda one: (-one[0] / max(one[1], 0.1), one[2].id))


def told(causes: Causes, check: str, pool: Sequence[int]) -> float:
    """Bits that a check is expected to tell about which part is at fault."""
    table = causes.setup.table
    whole = sum(causes.odds[i] for i in pool)
    columns: dict[int, dict[frozenset[str], float]] = {}
    for i in pool:
        for place, chance in enumerate(table.chances(check, causes.sets[i])):
            group = columns.setdefault(place, {})
            home = parts_of(causes, i)
            group[home] = group.get(home, 0.0) + causes.odds[i] / whole * chance
    before: dict[frozenset[str], float] = {}
    for i in pool:
        before[parts_of(causes, i)] = before.get(parts_of(causes, i), 0.0) + causes.odds[i] / whole
    after = 0.0
    for group in columns.values():
        given = sum(group.values())
        after -= sum(one * log2(one / given) for one in group.values() if one > 0)
    return entropy(before.values()) - after


def parts_of(causes: Causes, number: int) -> frozenset[str]:
    """The parts that a cause is made of."""
    return frozenset(causes.setup.machine.faults[name].part for name in causes.sets[number])


def _pool(causes: Causes) -> list[int]:
    order = sorted(range(len(causes.odds)), key=lambda i: (-causes.odds[i], i))
    return [i for i in order if causes.odds[i] >= FAINT][: POOL * 3] or order[:POOL]


def _planned(causes: Causes, checks: Iterable[Check], costs: Costs) -> Policy:
    pool = _pool(causes)[:POOL]
    table = causes.setup.table
    book = causes.setup.machine.book
    tests = []
    for check in checks:
        rows = [table.chances(check.id, causes.sets[i]) for i in pool]
        areas = tuple(area for area in (check.area,) if area not in costs.opened and area in book.areas)
        own = check.minutes + sum(book.settings[name].minutes for name in check.state)
        tops = [row.index(max(row)) for row in rows]  # the plan knows certain findings only, as that of a job does
        outcomes = [[float(top == one) for top in tops] for one in sorted(set(tops))]
        tests.append(Test(check.id, max(own, 0.1), outcomes=outcomes, opens=areas))
    return plan(
        [causes.odds[i] for i in pool],
        tests,
        [tuple(sorted(parts_of(causes, i))) for i in pool],
        confidence=SURE,
        openings={check: book.areas[check].minutes for test in tests for check in test.opens},
        steps=STEPS,
        look=False,
    )
