"""The planner: published examples, agreement with plainer searches, openings, set-ups and doubtful tests."""

from __future__ import annotations

import doctest
from collections.abc import Hashable
from functools import cache
from itertools import product
from math import exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.entropy import entropy
from coldiron.planner import planner
from coldiron.planner.exact import ExactSearch, TooMuchWorkError
from coldiron.planner.floors import external_path
from coldiron.planner.lookahead import Lookahead
from coldiron.planner.masks import MaskField
from coldiron.planner.planner import Node, plan
from coldiron.planner.puzzle import Puzzle, Split
from support.fault_tables import seeded
from support.known_examples import known
from support.puzzles import FAMILIES, plain_optimum, puzzle

EXAMPLES = known("sequencing")
SIX = EXAMPLES["six_states"]
FIVE = EXAMPLES["five_defects"]


def as_tests(rows: list[list[int]]) -> list[planner.Test]:
    """Tests of cost 1 from a matrix with a row for each fault."""
    return [planner.Test(f"t{k + 1}", 1.0, [row[k] for row in rows]) for k in range(len(rows[0]))]


def tree_cost(node: Node, costs: dict[str, float]) -> float:
    """Expected cost of a tree, added up by walking it."""
    if not node.test:
        return 0.0
    return costs[node.test] + sum(chance * tree_cost(after, costs) for _, chance, after in node.branches)


def test_the_six_states_cost_exactly_2_18() -> None:
    """Published optimum (see the fixture's source); both of its first tests are known, the first named one is taken."""
    policy = plan(SIX["chances"], as_tests(SIX["rows_by_state"]))
    assert policy.expected_cost == pytest.approx(SIX["optimum"], abs=1e-12)
    assert policy.exact
    assert policy.test == SIX["best_first_tests"][0]
    assert tree_cost(policy.tree, {f"t{k}": 1.0 for k in range(1, 6)}) == pytest.approx(2.18, abs=1e-12)


@pytest.mark.parametrize("first", sorted(SIX["optimum_after_first_test"]))
def test_the_six_states_after_each_first_test(first: str) -> None:
    """What the optimum comes to if the first test is given."""
    tests = as_tests(SIX["rows_by_state"])
    forced = next(test for test in tests if test.name == first)
    cost = 1.0
    for outcome in (0, 1):
        left = [p if round(forced.positive[k]) == outcome else 0.0 for k, p in enumerate(SIX["chances"])]
        cost += sum(left) * plan(left, tests).expected_cost
    assert cost == pytest.approx(SIX["optimum_after_first_test"][first], abs=1e-9)


def test_information_first_pays_2_86_on_the_six_states() -> None:
    """The example that every one-step rule fails: most information first takes t1, and pays a third more."""
    field = field_of(SIX["chances"], as_tests(SIX["rows_by_state"]))
    greedy = Lookahead(ExactSearch(field, 0), level=0, steps=1000, small=0)
    assert cost_of(field, greedy, start_of(SIX["chances"])) == pytest.approx(SIX["information_first"], abs=1e-9)
    ahead = Lookahead(ExactSearch(field, 0), level=1, steps=1000, small=0)
    assert cost_of(field, ahead, start_of(SIX["chances"])) == pytest.approx(SIX["optimum"], abs=1e-9)


def test_the_bounds_of_the_six_states_are_the_known_ones() -> None:
    """Entropy 1.4549 bits, least external path 1.59."""
    assert entropy(SIX["chances"], 1.0) == pytest.approx(SIX["entropy_bits"], abs=1e-4)
    assert external_path(SIX["chances"], 2) == pytest.approx(SIX["least_external_path"], abs=1e-9)


def test_the_five_defects_cost_2_4_and_2_2() -> None:
    """Even odds and the skewed ones of the fixture."""
    tests = as_tests(FIVE["rows_by_defect"])
    assert plan([1] * 5, tests).expected_cost == pytest.approx(FIVE["optimum_even"])
    assert plan(FIVE["skewed_chances"], tests).expected_cost == pytest.approx(FIVE["optimum_skewed"])


def test_the_five_defects_are_ruled_out_as_printed() -> None:
    """The published trace for defect 3: what each outcome leaves."""
    left = [1.0] * 5
    tests = as_tests(FIVE["rows_by_defect"])
    for step in FIVE["trace_of_defect_3"]:
        test = tests[step["test"] - 1]
        out = [k for k in range(5) if left[k] and round(test.positive[k]) != step["outcome"]]
        assert [k + 1 for k in out] == step["ruled_out"]
        left = [0.0 if k in out else weight for k, weight in enumerate(left)]
    assert plan(left, tests).tree == Node(faults=((2, 1.0),))


def test_the_example_in_the_documentation_holds() -> None:
    """As printed there."""
    found = doctest.testmod(planner)
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize("count", [2, 4, 8, 16])
def test_a_path_is_halved(count: int) -> None:
    """Half-splitting: 1, 2, 3 and 4 tests for 2, 4, 8 and 16 equally likely parts of a series path."""
    tests = [planner.Test(f"after_{k}", 1.0, [float(i <= k) for i in range(count)]) for k in range(count - 1)]
    policy = plan([1] * count, tests)
    assert policy.expected_cost == pytest.approx(count.bit_length() - 1)
    assert policy.test == f"after_{count // 2 - 1}"


def field_of(chances: list[float], tests: list[planner.Test]) -> MaskField:
    n = len(chances)
    hits = [sum(1 << i for i in range(n) if test.positive[i]) for test in tests]
    splits = [Split(test.cost, ((1 << n) - 1 & ~hit, hit)) for test, hit in zip(tests, hits, strict=True)]
    return MaskField(Puzzle(chances, [1 << i for i in range(n)], splits))


def start_of(chances: list[float]) -> tuple[int, int, int]:
    return (1 << len(chances)) - 1, 0, 0


def cost_of(field: MaskField, chooser: Lookahead, state: tuple[int, int, int]) -> float:
    """Exact cost of following a chooser."""
    move = chooser.best(state)
    return move.price + sum(o.chance * cost_of(field, chooser, o.state) for o in move.outcomes) if move else 0.0


@settings(deadline=None, max_examples=60)
@given(
    st.integers(0, 10**6), st.integers(2, 9), st.sampled_from(["random", "sparse", "chain", "tree"]), st.integers(2, 30)
)
def test_the_order_costs_what_the_plain_optimum_costs(seed: int, faults: int, kind: str, most: int) -> None:
    """Bounds and memory change the time and nothing else, also where some faults cannot be told apart."""
    chances, tests = puzzle(seed, faults, kind)
    seeded(seed).shuffle(tests)
    tests = tests[:most]
    policy = plan(chances, tests)
    assert policy.exact
    assert policy.expected_cost == pytest.approx(plain_optimum(chances, tests), abs=1e-9)
    assert tree_cost(policy.tree, {t.name: t.cost for t in tests}) == pytest.approx(policy.expected_cost, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("kind", FAMILIES)
def test_twelve_faults_are_solved_exactly(kind: str) -> None:
    """Within the usual steps; and looking ahead alone comes within .5 % of that on each."""
    for seed in range(6):
        chances, tests = puzzle(seed, 12, kind)
        optimum = plain_optimum(chances, tests)
        found = plan(chances, tests)
        assert found.exact
        assert found.expected_cost == pytest.approx(optimum, abs=1e-9)
        assert optimum - 1e-9 <= plan(chances, tests, steps=0).expected_cost <= 1.005 * optimum


@pytest.mark.slow
@pytest.mark.parametrize("kind", FAMILIES)
@pytest.mark.parametrize(("faults", "count"), [(16, 4), (20, 1)])
def test_more_faults_than_that_cost_hardly_more_than_the_optimum(faults: int, count: int, kind: str) -> None:
    """As shipped: never below the optimum, at most 5 % above it on each, .3 % on average."""
    excess = []
    for seed in range(count):
        chances, tests = puzzle(seed, faults, kind)
        excess.append(plan(chances, tests).expected_cost / plain_optimum(chances, tests) - 1)
    assert min(excess) >= -1e-9
    assert max(excess) <= 0.05
    assert sum(excess) / count <= 0.003


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 10**6), st.integers(2, 8), st.integers(0, 3), st.booleans())
def test_no_lower_bound_is_above_the_optimum(seed: int, faults: int, many: int, apart: bool) -> None:  # noqa: FBT001
    """At every set of faults, with tests of two to four outcomes, groups or none: the cost found without any bound."""
    rng = seeded(seed)
    chances = [rng.random() + 0.01 for _ in range(faults)]
    chances = [p / sum(chances) for p in chances]
    shown = [[rng.randrange(2 + many * (k % 2)) for _ in range(faults)] for k in range(faults + 1)]
    splits = [
        Split(
            exp(rng.gauss(0, 1)), tuple(sum(1 << i for i, o in enumerate(row) if o == k) for k in range(max(row) + 1))
        )
        for row in shown
    ]
    groups = [1 << i for i in range(faults)] if apart else [sum(1 << i for i in range(k, faults, 2)) for k in range(2)]
    field = MaskField(Puzzle(chances, [group for group in groups if group], splits))

    @cache
    def best(mask: int) -> float:
        options = []
        if sum(mask & group > 0 for group in field.puzzle.groups) > 1:
            for split in splits:
                parts = [mask & branch for branch in split.branches if mask & branch]
                if len(parts) > 1:
                    after = sum(field.weight(part) * best(part) for part in parts)
                    options.append(split.cost + after / field.weight(mask))
        return min(options, default=0.0)

    for mask in range(1, 1 << faults):
        assert field.bound((mask, 0, 0)) <= best(mask) + 1e-9


def test_more_work_than_allowed_is_given_up_at_the_same_step_everywhere() -> None:
    """The limit counts states; past it the planner looks ahead and says that the order may not be the best."""
    chances, tests = puzzle(1, 12, "tree")
    assert not plan(chances, tests, steps=5).exact
    with pytest.raises(TooMuchWorkError):
        ExactSearch(field_of(chances, tests), 5).value(start_of(chances))


def test_without_looking_ahead_the_test_that_tells_most_for_its_price_is_taken() -> None:
    """On the six states that is t1, which every one-step rule takes and which costs a third more."""
    tests = as_tests(SIX["rows_by_state"])
    policy = plan(SIX["chances"], tests, steps=0, look=False)
    assert (policy.exact, policy.test) == (False, "t1")
    assert policy.expected_cost == pytest.approx(SIX["information_first"], abs=1e-9)


def test_one_fault_in_several_ways_needs_only_what_shifts_its_odds() -> None:
    """Two faults, each in the two ways a doubtful test may come out, as likely under both: that test is left out."""
    doubtful = planner.Test("either_way", 1.0, [0, 1, 0, 1])
    telling = planner.Test("telling", 5.0, [0, 0, 1, 1])
    groups = ["one", "one", "other", "other"]
    policy = plan([1.0] * 4, [doubtful, telling], groups, doubtful=True)
    assert (policy.test, policy.expected_cost) == ("telling", 5.0)
    assert plan([1.0, 3.0, 3.0, 1.0], [doubtful], groups, doubtful=True).test == "either_way"
    assert plan([1.0] * 4, [doubtful], groups, doubtful=True).test == ""


def test_faults_of_one_group_are_not_told_apart() -> None:
    """Two faults with the same repair need no test between them."""
    tests = [planner.Test("between_groups", 1.0, [0, 0, 1]), planner.Test("inside", 0.5, [0, 1, 0])]
    policy = plan([0.4, 0.4, 0.2], tests, groups=["relay", "relay", "key"])
    assert policy.test == "between_groups"
    assert policy.expected_cost == pytest.approx(1.0)


def test_two_tests_that_only_together_tell_the_groups_apart_are_both_done() -> None:
    """Neither parts the groups' odds alone."""
    tests = [planner.Test("one", 1.0, [0, 1, 0, 1]), planner.Test("other", 1.0, [0, 1, 1, 0])]
    assert plan([1, 1, 1, 1], tests, groups=["a", "a", "b", "b"]).expected_cost == pytest.approx(2.0)


def test_a_test_that_tells_nothing_is_not_done() -> None:
    """However cheap."""
    policy = plan([0.5, 0.5], [planner.Test("nothing", 0.0, [1, 1]), planner.Test("even", 0.001, [0.5, 0.5])])
    assert policy.test == ""
    assert policy.expected_cost == 0
    assert policy.tree == Node(faults=((0, 0.5), (1, 0.5)))


def test_what_is_opened_once_is_paid_once() -> None:
    """Two tests under one cover beat two under none once the cover is shared."""
    under = [planner.Test(f"under_{k}", 1.0, [float(i == k) for i in range(3)], opens=("cover",)) for k in range(2)]
    free = [planner.Test(f"free_{k}", 2.2, [float(i == k) for i in range(3)]) for k in range(2)]
    even = [1 / 3] * 3
    assert plan(even, [*under, *free], openings={"cover": 9.0}).expected_cost == pytest.approx(2.2 + 2 / 3 * 2.2)
    assert plan(even, [*under, *free], openings={"cover": 1.0}).expected_cost == pytest.approx(1 + 1 + 2 / 3)


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 10**6))
def test_openings_and_set_ups_are_weighed_as_by_trying_all_orders(seed: int) -> None:
    """Against a plain search over what is left, what is open and how the machine stands."""
    rng = seeded(seed)
    faults = 5
    chances = [rng.random() + 0.05 for _ in range(faults)]
    openings = {"left": rng.uniform(0, 3), "right": rng.uniform(0, 3)}
    tests = [
        planner.Test(
            f"t{k}",
            rng.uniform(0.5, 3),
            [float(rng.random() < 0.4) for _ in range(faults)],
            opens=tuple(name for name in openings if rng.random() < 0.4),
            setup=rng.choice(["off", "on", "start"]),
        )
        for k in range(6)
    ]
    stands: list[Hashable] = ["off", "on", "start"]
    change = {(a, b): rng.uniform(0, 2) for a, b in product(stands, repeat=2)}

    @cache
    def best(left: frozenset[int], opened: frozenset[str], setup: Hashable) -> float:
        weight = sum(chances[i] for i in left)
        options = []
        for test in tests:
            hit = frozenset(i for i in left if test.positive[i])
            if hit and hit != left:
                price = test.cost + sum(openings[name] for name in test.opens if name not in opened)
                price += change[setup, test.setup] if setup != test.setup else 0.0
                after = opened | set(test.opens)
                options.append(price * weight + best(hit, after, test.setup) + best(left - hit, after, test.setup))
        return min(options, default=0.0)

    policy = plan(chances, tests, openings=openings, setup="off", change=lambda a, b: change[a, b])
    assert policy.exact
    expected = best(frozenset(range(faults)), frozenset(), "off") / sum(chances)
    assert policy.expected_cost == pytest.approx(expected, abs=1e-9)


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 10**6), st.sampled_from([0.8, 0.9, 1.0]))
def test_doubtful_tests_are_weighed_as_by_trying_all_histories(seed: int, confidence: float) -> None:
    """Against a plain search over what each test showed, stopping at the stated confidence."""
    rng = seeded(seed)
    faults, count = 3, 4
    chances = [rng.random() + 0.1 for _ in range(faults)]
    chances = [p / sum(chances) for p in chances]
    tests = [
        planner.Test(f"t{k}", rng.uniform(0.5, 2), [round(rng.uniform(0.02, 0.98), 2) for _ in range(faults)])
        for k in range(count)
    ]

    def best(joint: tuple[float, ...], used: frozenset[int]) -> float:
        if max(joint) >= confidence * sum(joint) - 1e-12:
            return 0.0
        options = []
        for k, test in enumerate(tests):
            if k not in used:
                hit = tuple(p * c for p, c in zip(joint, test.positive, strict=True))
                miss = tuple(p - h for p, h in zip(joint, hit, strict=True))
                options.append(test.cost * sum(joint) + best(hit, used | {k}) + best(miss, used | {k}))
        return min(options, default=0.0)

    policy = plan(chances, tests, confidence=confidence)
    assert policy.exact
    assert policy.expected_cost == pytest.approx(best(tuple(chances), frozenset()), abs=1e-6)


def test_a_test_of_several_outcomes() -> None:
    """One reading with three bands parts three faults at once."""
    reading = planner.Test("volts", 2.0, outcomes=[[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    policy = plan([1, 1, 1], [reading])
    assert policy.expected_cost == pytest.approx(2.0)
    assert [after.faults for _, _, after in policy.tree.branches] == [((0, 1.0),), ((1, 1.0),), ((2, 1.0),)]


def test_enough_confidence_ends_the_tree() -> None:
    """With certain tests too."""
    tests = [planner.Test(f"t{k}", 1.0, [float(i == k) for i in range(3)]) for k in range(2)]
    assert plan([0.9, 0.05, 0.05], tests, confidence=0.9).expected_cost == 0
    assert plan([0.5, 0.45, 0.05], tests, confidence=0.9).expected_cost == pytest.approx(1.0)


def test_a_fault_that_cannot_be_costs_nothing() -> None:
    """A prior of 0 leaves a fault out."""
    assert plan([1.0, 0.0], [planner.Test("t", 1.0, [0, 1])]).expected_cost == 0


@pytest.mark.parametrize(
    ("priors", "tests", "changes", "sentence"),
    [
        ([], [], {}, "priors"),
        ([0.5, -0.1], [], {}, "priors"),
        ([0.0, 0.0], [], {}, "priors"),
        ([1, 1], [planner.Test("t", -1.0, [0, 1])], {}, "cost of t is -1"),
        ([1, 1], [planner.Test("t", 1.0, [0, 1, 0])], {}, "each of 2 faults"),
        ([1, 1], [planner.Test("t", 1.0, [0, 1.5])], {}, "chances of t"),
        ([1, 1], [planner.Test("t", 1.0, outcomes=[[0.5, 0.5], [0.1, 0.5]])], {}, "chances of t"),
        ([1, 1], [planner.Test("t", 1.0, [0, 1], opens=("lid",))], {}, "t opens lid"),
        ([1, 1], [], {"groups": ["one"]}, "1 groups for 2 faults"),
    ],
)
def test_what_cannot_be_planned_is_refused_in_a_sentence(
    priors: list[float], tests: list[planner.Test], changes: dict[str, list[str]], sentence: str
) -> None:
    """The sentence says what is wrong."""
    with pytest.raises(ValueError, match=sentence):
        plan(priors, tests, **changes)  # type: ignore[arg-type]
