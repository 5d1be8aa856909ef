"""The pieces of the bench at full size: equal machines for all orders, bounds that hold, scores that say what is so."""

from __future__ import annotations

import sys
from math import log2, sqrt

import pytest

from bench import bench_full
from support.calibration import Foretold, brier, confident_wrong, due, reliability
from support.fault_tables import seeded
from support.fault_yard import WORKS
from support.least_minutes import Source, capacity, entropy, least, source, to_find_out, to_repair
from support.puzzles import FAMILIES, Puzzle, plain_optimum, puzzle
from support.yard_cases import RIGHT, TWISTS, Case, Twist
from support.yard_jobs import Job, work
from support.yard_orders import ORDERS, knowing

SMALL = 8, 12
"""Faults and checks of a small machine."""


def small(seed: int, twist: Twist = RIGHT) -> Case:
    return Case(seed, twist, *SMALL)


@pytest.mark.parametrize("seed", range(3))
def test_every_order_works_the_same_machine(seed: int) -> None:
    """The same faults are hidden, and a check gives all orders the same answer while the same faults are left."""
    answers: dict[tuple[str, int, frozenset[str]], int] = {}
    for order in ORDERS.values():
        case = small(seed)
        assert case.truth == small(seed).truth
        for (check, epoch, left), finding in told(work(case, order)).items():
            assert answers.setdefault((check, epoch, left), finding) == finding, check
    assert answers


def told(job: Job) -> dict[tuple[str, int, frozenset[str]], int]:
    """What each check gave, by epoch and by the faults that were left then."""
    left = [job.case.truth]
    for repair in job.repairs:
        left.append(left[-1] - repair)
    return {(r.check, r.epoch, left[r.epoch]): r.finding or 0 for r in job.readings if r.check != WORKS}


@pytest.mark.parametrize("twist", TWISTS, ids=lambda twist: twist.name)
def test_a_twist_leaves_the_machine_alone(twist: Twist) -> None:
    """Minutes, detection and, but for their number, the hidden faults are those of the machine under a right book."""
    for seed in range(10):
        case, right = small(seed, twist), small(seed)
        assert [case.minutes(offer.check) for offer in case.offers] == [offer.minutes for offer in right.offers]
        assert case.yard.table == right.yard.table
        if not twist.faults and not twist.unlisted:
            assert case.truth == right.truth
        elif twist.faults:
            assert len(case.truth) == twist.faults


def test_a_wrong_book_is_wrong_as_stated() -> None:
    """Odds and minutes stay within their factor and use it; unknown cells are as many as said."""
    right, odds, minutes = (Case(1, twist) for twist in (RIGHT, Twist("", odds=3.0), Twist("", minutes=2.0)))
    off = [odds.model.odds[name] / right.model.odds[name] for name in right.model.odds]
    assert 1 / 3 <= min(off) < 0.4
    assert 2.5 < max(off) <= 3
    slow = [mine.minutes / true.minutes for mine, true in zip(minutes.offers, right.offers, strict=True)]
    assert 0.5 <= min(slow) < 0.6
    assert 1.7 < max(slow) <= 2
    cells = [(offer.check, frozenset((name,))) for offer in right.offers for name in right.model.odds]
    gaps = [
        {cell for cell in cells if case.table.chances(*cell)[0] is None}
        for case in (Case(1, Twist("", gaps=share)) for share in (0.1, 0.4))
    ]
    assert [len(gap) / len(cells) for gap in gaps] == pytest.approx([0.1, 0.4], abs=0.01)
    assert gaps[0] < gaps[1]


def test_a_fault_that_is_not_in_the_book_is_not_in_the_book() -> None:
    """It is hidden all the same, and shows at the checks that cover it."""
    case = small(3, Twist("", unlisted=True))
    (fault,) = case.truth
    assert fault not in case.model.odds
    assert set(case.model.odds) | {fault} == set(case.yard.model.odds)
    covering = [check for check, cover in case.yard.table.detects.items() if fault in cover and check != WORKS]
    shown = [case.read(check, case.truth, epoch) for check in covering for epoch in range(50)]
    assert sum(shown) / len(shown) < 0.15


def test_flipped_answers_are_as_many_as_said() -> None:
    """And nothing else differs."""
    right, flipped = Case(1), Case(1, Twist("", flips=0.06))
    asked = [(offer.check, epoch) for offer in right.offers for epoch in range(20)]
    other = [right.read(check, right.truth, n) != flipped.read(check, right.truth, n) for check, n in asked]
    assert sum(other) / len(other) == pytest.approx(0.06, abs=4 * sqrt(0.06 * 0.94 / len(other)))


def test_hidden_faults_come_by_the_odds_of_the_book() -> None:
    """One, two or three of them as often as the model says."""
    sizes = [len(Case(seed, RIGHT, 6, 6).truth) for seed in range(1000)]
    for size, share in enumerate(Case(0, RIGHT, 6, 6).model.sizes, 1):
        assert sizes.count(size) / len(sizes) == pytest.approx(share, abs=4 * sqrt(share / len(sizes)))


@pytest.mark.parametrize("twist", [RIGHT, TWISTS[2], TWISTS[5]], ids=lambda twist: twist.name)
def test_no_order_goes_below_the_repairs_that_are_needed(twist: Twist) -> None:
    """On every single machine that was mended, whatever the book says."""
    for seed in range(3):
        for order in ORDERS.values():
            job = work(small(seed, twist), order)
            assert job.left or job.minutes >= to_repair(job.case) - 1e-9


def test_who_knows_the_faults_repairs_nothing_else() -> None:
    """And needs fewer minutes on the whole than who has to find them."""
    cases = [Case(seed, RIGHT, 20, 32) for seed in range(6)]
    known = [work(case, knowing) for case in cases]
    assert not any(job.wrong or job.left for job in known)
    assert sum(job.total for job in known) < sum(work(case, ORDERS["gain"]).total for case in cases)


def test_no_order_goes_below_the_bound_on_the_mean() -> None:
    """Repairs and bits together, on the mean of many machines."""
    cases = [small(seed) for seed in range(15)]
    bound = sum(to_repair(case) + to_find_out(case) for case in cases)
    assert sum(map(to_find_out, cases)) > 0.05 * bound
    assert sum(work(case, ORDERS["gain .80"]).total for case in cases) > bound


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("repair", [0.5, 2.0, 1e9], ids=["cheap", "middling", "dear"])
def test_the_bound_is_below_the_optimum(family: str, repair: float) -> None:
    """Of puzzles of certain tests, where a wrong repair costs so much, by trying every test and every repair."""
    for seed in range(6):
        chances, tests = given = puzzle(seed, 6, family)
        shares = [sum(p for p, hit in zip(chances, test.positive, strict=True) if hit) for test in tests]
        sources = [
            Source(test.cost, capacity(0, 1), entropy([share, 1 - share]), 0.0)
            for test, share in zip(tests, shares, strict=True)
        ]
        bound = least({str(k): p for k, p in enumerate(chances)}, sources, repair)
        best = optimum(given, repair, (1 << 6) - 1, {})
        assert 0.1 * best < bound <= best + 1e-9
        if repair == 1e9:
            assert best == pytest.approx(plain_optimum(chances, tests))


def optimum(given: Puzzle, repair: float, mask: int, known: dict[int, float]) -> float:
    """Least cost of tests and wrong repairs until one of these faults is repaired, times their chance."""
    chances, tests = given
    inside = [k for k in range(len(chances)) if mask >> k & 1]
    if len(inside) < 2:
        return 0.0
    if mask not in known:
        whole = sum(chances[k] for k in inside)
        costs = [repair * (whole - chances[k]) + optimum(given, repair, mask & ~(1 << k), known) for k in inside]
        for test in tests:
            hit = sum(1 << k for k in inside if test.positive[k])
            if hit not in (0, mask):
                parts = [optimum(given, repair, part, known) for part in (hit, mask & ~hit)]
                costs.append(test.cost * whole + sum(parts))
        known[mask] = min(costs)
    return known[mask]


def test_the_bound_is_met_where_one_check_settles_all() -> None:
    """Two faults as likely as each other, and one certain check of three minutes."""
    two = {"a": 1.0, "b": 1.0}
    assert least(two, [Source(3.0, 1.0, 1.0, 0.0)], 1e9) == pytest.approx(3.0, abs=0.01)
    assert 0.5 < least(two, [Source(3.0, 1.0, 1.0, 0.0)], 2.0) <= 1.0  # the optimum repairs either of them at once


@pytest.mark.parametrize(("low", "high"), [(0.0, 1.0), (0.11, 0.89), (0.0, 0.5), (0.03, 0.95), (0.9, 0.99), (0.4, 0.4)])
def test_what_a_noisy_answer_can_tell(low: float, high: float) -> None:
    """By trying how likely the one and the other are; in closed form for an even error and for a one-sided one."""

    def bits(share: float) -> float:
        mixed = share * low + (1 - share) * high
        apart = share * entropy([low, 1 - low]) + (1 - share) * entropy([high, 1 - high])
        return entropy([mixed, 1 - mixed]) - apart

    assert capacity(low, high) == pytest.approx(max(bits(k / 2000) for k in range(2001)), abs=1e-6)
    if low + high == 1:
        assert capacity(low, high) == pytest.approx(1 - entropy([low, high]))
    if (low, high) == (0.0, 0.5):
        assert capacity(low, high) == pytest.approx(log2(5 / 4))


def test_a_check_as_a_source_of_bits() -> None:
    """One that covers a single part tells nothing beyond whether it is that part."""
    case = small(0)
    fault, check = next(iter(case.checked_alone.items())) if case.checked_alone else ("part_000", "check_000")
    one = source(case, check, case.yard.model.odds)
    share = case.yard.model.odds[fault] / sum(case.yard.model.odds.values())
    assert one.minutes == case.minutes(check)
    if case.checked_alone:
        assert one.whole == pytest.approx(entropy([share, 1 - share]))
        assert one.inside == 0
    assert 0 < one.each < 1


def test_the_score_of_chances_that_come_true() -> None:
    """Chances drawn evenly from 0 to 1 that come true as they say: the mean of p (1 - p) over them is one sixth."""
    draw = seeded(1)
    chances = [draw.random() for _ in range(20_000)]
    told = [Foretold(chance, draw.random() < chance) for chance in chances]
    error = 4 / sqrt(len(told))
    assert due(told) == pytest.approx(1 / 6, abs=error)
    assert brier(told) == pytest.approx(due(told), abs=error)
    for row in reliability(told):
        assert row.true == pytest.approx(row.said, abs=4 * sqrt(0.25 / row.count))
    assert sum(row.count for row in reliability(told)) == len(told)


def test_the_score_of_chances_that_do_not() -> None:
    """Always even scores a quarter; sure and wrong scores one, and is counted as confident and wrong."""
    assert brier([Foretold(0.5, True), Foretold(0.5, False)]) == 0.25
    assert brier([Foretold(1.0, False)]) == 1
    assert due([Foretold(1.0, False)]) == 0
    told = [Foretold(0.95, False), Foretold(0.95, True), Foretold(0.6, False)]
    assert confident_wrong(told) == 0.5


def test_the_bench_runs(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """From end to end on machines of six parts, with a line for every twist in each of its tables."""
    twists = RIGHT, TWISTS[4]
    monkeypatch.setattr(bench_full, "TWISTS", twists)
    monkeypatch.setattr(sys, "argv", ["bench_full.py", "0.01", "none", "5", "6", "8"])
    bench_full.main()
    said = capsys.readouterr().out
    assert "no order can go below" in said
    for twist in twists:
        assert sum(line.startswith(f"{twist.name:24}") for line in said.splitlines()) == 3
