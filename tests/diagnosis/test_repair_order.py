"""In which order to repair, and whether to test first."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.planner import weighing
from coldiron.planner.repair_order import Search, best_repairs, cost_over_probability
from support.fault_tables import seeded
from support.known_examples import known
from support.repair_benches import Bench

EXAMPLES = known("sequencing")


def cost_of(order: tuple[int, ...], causes: list[tuple[int, float]], repairs: list[tuple[int, float]]) -> float:
    """Expected cost of repairing in this order until the machine works."""
    total, mended = 0.0, 0
    for k in order:
        total += repairs[k][1] * sum(chance for things, chance in causes if things & ~mended)
        mended |= repairs[k][0]
    return total


def test_cost_over_probability_is_the_best_order_of_five_repairs() -> None:
    """The fixture's 20.10, in the order 2, 5, 3, 1, 4; by probability or by cost alone is dearer."""
    case = EXAMPLES["repair_order"]
    found = cost_over_probability(case["chances"], case["costs"])
    causes = [(1 << k, chance) for k, chance in enumerate(case["chances"])]
    repairs = [(1 << k, cost) for k, cost in enumerate(case["costs"])]
    assert [k + 1 for k in found.order] == case["best_order"]
    assert found.expected_cost == pytest.approx(case["best"])
    by_chance = tuple(sorted(range(5), key=lambda k: -case["chances"][k]))
    by_cost = tuple(sorted(range(5), key=lambda k: case["costs"][k]))
    assert cost_of(by_chance, causes, repairs) == pytest.approx(case["by_chance"])
    assert cost_of(by_cost, causes, repairs) == pytest.approx(case["by_cost"])
    assert best_repairs(causes, repairs) == found


def test_repairs_of_several_causes_are_ordered_exactly() -> None:
    """The fixture where probability over cost pays 1.55 and the best order 1.45."""
    case = EXAMPLES["repairs_of_several_causes"]
    names = sorted(case["chances"])
    causes = [(1 << names.index(name), chance) for name, chance in case["chances"].items()]
    actions = sorted(case["mends"])
    repairs = [(sum(1 << names.index(name) for name in case["mends"][action]), case["cost"]) for action in actions]
    found = best_repairs(causes, repairs)
    assert found.expected_cost == pytest.approx(case["best"])
    assert [actions[k] for k in found.order] == ["A3", "A1"]
    for order, expected in case["expected"].items():
        places = tuple(actions.index(action) for action in order.split(","))
        assert cost_of(places, causes, [(things, 1.0) for things, _ in repairs]) == pytest.approx(expected)


@given(st.integers(0, 10**6), st.integers(1, 5))
def test_the_order_is_the_best_of_all_orders(seed: int, count: int) -> None:
    """Where several things may be wrong at once and repairs overlap."""
    rng = seeded(seed)
    causes = [(rng.randrange(1, 2**count), rng.random()) for _ in range(6)]
    repairs = [(1 << k, rng.uniform(0.1, 5)) for k in range(count)]
    repairs += [(rng.randrange(1, 2**count), rng.uniform(0.1, 5)) for _ in range(2)]
    best = min(cost_of(order, causes, repairs) for order in permutations(range(len(repairs))))
    found = best_repairs(causes, repairs)
    assert found.expected_cost == pytest.approx(best)
    assert cost_of(found.order, causes, repairs) == pytest.approx(best)


@given(st.integers(0, 10**6), st.integers(0, 5), st.sampled_from((0.0, 7.5)))
def test_the_short_way_for_one_thing_wrong_costs_what_the_search_finds(seed: int, count: int, give_up: float) -> None:
    """Repairs that mend one thing each, or a few apart; things that none mends, chances of nothing, nothing wrong."""
    rng = seeded(seed)
    causes = [(rng.choice((0, *(1 << k for k in range(7)))), rng.choice((0.0, rng.random()))) for _ in range(8)]
    repairs = [(1 << k | (1 << 5 if k == 1 else 0), rng.choice((1.0, rng.uniform(0.1, 5)))) for k in range(count)]
    search = Search(tuple(repairs), give_up)
    assert search.cost(causes) == pytest.approx(search.best(causes).expected_cost)


@given(st.integers(0, 10**6))
def test_the_search_costs_what_its_order_costs(seed: int) -> None:
    """Where the short way does not do: repairs that mend the same, or two things wrong at once."""
    rng = seeded(seed)
    at_once, apart = rng.choice(((True, True), (True, False), (False, False)))
    causes = [(rng.randrange(1, 8) if at_once else rng.choice((1, 2, 4)), rng.random()) for _ in range(5)]
    repairs = [(1 << k if apart else rng.randrange(1, 8), rng.uniform(0.1, 5)) for k in range(3)]
    search = Search(tuple(repairs), 3.0)
    assert search.cost(causes) == pytest.approx(search.best(causes).expected_cost)


@given(st.integers(0, 10**6), st.integers(1, 6))
def test_with_one_thing_wrong_the_exact_order_is_cost_over_probability(seed: int, count: int) -> None:
    """The two functions agree where both apply."""
    rng = seeded(seed)
    chances = [rng.random() + 0.01 for _ in range(count)]
    chances = [chance / sum(chances) for chance in chances]
    costs = [rng.uniform(0.1, 5) for _ in range(count)]
    exact = best_repairs([(1 << k, p) for k, p in enumerate(chances)], [(1 << k, c) for k, c in enumerate(costs)])
    assert exact.expected_cost == pytest.approx(cost_over_probability(chances, costs).expected_cost)


def test_what_no_repair_mends_costs_giving_up() -> None:
    """After all that could help has been tried."""
    found = best_repairs([(1, 0.7), (2, 0.3)], [(1, 10.0)], give_up=100.0)
    assert found.expected_cost == pytest.approx(10 + 0.3 * 100)


def test_what_cannot_be_wrong_is_repaired_last() -> None:
    """A part of probability 0 does not divide by zero."""
    assert cost_over_probability([0.0, 1.0], [1.0, 50.0]).order == (1, 0)


@pytest.mark.slow
@pytest.mark.parametrize("dear", [0.0, 1.0, 2.0])
@pytest.mark.parametrize("reliability", [(0.95, 0.99), (0.7, 0.9)])
def test_testing_or_repairing_comes_close_to_the_optimum(dear: float, reliability: tuple[float, float]) -> None:
    """Against all histories of three tests on four things: within 0.5 % on average, never below the optimum."""
    excess = []
    for seed in range(6):
        bench = Bench(seeded(seed), things=4, tests=3, dear=dear, reliability=reliability)
        optimum = bench.plain_optimum()
        assert optimum == pytest.approx(bench.optimum(tuple(bench.chances)))
        excess.append(bench.followed(tuple(bench.chances)) / optimum - 1)
    assert min(excess) >= -1e-9
    assert sum(excess) / len(excess) <= 0.005


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 10**6))
def test_a_test_is_done_first_only_if_that_is_cheaper(seed: int) -> None:
    """The costs given are those of the choice made."""
    bench = Bench(seeded(seed), things=3, tests=3, dear=1.0, reliability=(0.8, 0.95))
    best, repair, check = bench.weighs().best(bench.chances)
    assert check is not None
    assert (best is not None) == (check < repair - weighing.TINY)


def test_a_dear_test_is_not_worth_a_cheap_repair() -> None:
    """And a cheap one is worth a dear repair."""
    rows = [[1.0, 0.0], [0.0, 1.0]]
    for cost, wanted in ((50.0, None), (1.0, 0)):
        weighs = weighing.Weighing([1, 2], [(1, 20.0), (2, 20.0)], [weighing.Trial(cost, rows)], give_up=0.0)
        assert weighs.best([0.5, 0.5])[0] == wanted
    assert weighing.Weighing([1], [(1, 20.0)], [], give_up=0.0).best([1.0]) == (None, 20.0, None)
