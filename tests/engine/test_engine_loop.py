"""Laws of the loop: what follows from facts and rules does not depend on the way there."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.engine import (
    Compare,
    Cycle,
    Fact,
    FactRule,
    Has,
    Lacks,
    Result,
    RuleSet,
    Support,
    compile_rules,
    extend,
    run,
    withdraw,
)
from support import engine_rules as draws
from support.engine_rules import naive_fixpoint, naive_strata

law = settings(deadline=None, max_examples=150)
any_or_layered = st.one_of(
    draws.any_rules().filter(lambda rules: naive_strata(rules) is not None), draws.layered_rules()
)


def compiled(rules: Sequence[FactRule]) -> RuleSet:
    made = compile_rules(rules)
    assert isinstance(made, RuleSet), str(made)
    return made


def told_all(result: Result) -> tuple[frozenset[Fact], tuple[str, ...], Mapping[Fact, Support | None]]:
    """Everything that can be asked of a result."""
    return result.facts, result.fired, {fact: result.support(fact) for fact in result.facts}


@law
@given(any_or_layered, draws.given, draws.values)
def test_a_run_finds_what_the_naive_fixpoint_finds(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float]
) -> None:
    """The same facts hold, and exactly the rules whose conditions hold have fired."""
    naive = naive_fixpoint(rules, facts, values)
    result = run(compiled(rules), facts, values)
    assert result.facts == naive.facts
    fired = [rule.id for rule in rules if all(draws.condition_holds(c, naive.facts, values) for c in rule.when)]
    assert list(result.fired) == sorted(fired)
    assert all(result.holds(fact) for fact in naive.facts)
    assert not any(result.holds((letter,)) for letter in draws.LETTERS if (letter,) not in naive.facts)


@law
@given(any_or_layered, draws.given, draws.values)
def test_the_rule_named_for_a_fact_is_the_first_by_id_of_those_that_gave_it_soonest(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float]
) -> None:
    naive = naive_fixpoint(rules, facts, values)
    result = run(compiled(rules), facts, values)
    named = {fact: support.rule for fact in result.facts if (support := result.support(fact)) is not None}
    assert named == {fact: rule for fact, (_, _, rule) in naive.first.items()}


@law
@given(any_or_layered, draws.given, draws.values, st.data())
def test_the_order_of_rules_facts_and_values_changes_nothing(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(rules))
    told = data.draw(st.permutations(sorted(facts)))
    readings = dict(data.draw(st.permutations(sorted(values.items()))))
    assert told_all(run(compiled(shuffled), told, readings)) == told_all(run(compiled(rules), sorted(facts), values))


@law
@given(any_or_layered, st.lists(st.tuples(draws.given, draws.values), min_size=1, max_size=4))
def test_extending_step_by_step_gives_what_a_fresh_run_gives(
    rules: list[FactRule], steps: list[tuple[set[Fact], dict[str, float]]]
) -> None:
    """New facts, facts that were derived before, facts whose absence counted, new and changed values."""
    ready = compiled(rules)
    result = run(ready)
    facts: set[Fact] = set()
    values: dict[str, float] = {}
    for more_facts, more_values in steps:
        earlier, earlier_told = result, told_all(result)
        result = extend(result, more_facts, more_values)
        facts |= more_facts
        values |= more_values
        fresh = run(ready, facts, values)
        assert told_all(result) == told_all(fresh)
        assert (result.given, result.values) == (fresh.given, fresh.values)
        assert told_all(earlier) == earlier_told


@law
@given(any_or_layered, draws.given, draws.values, st.data())
def test_a_log_with_answers_changed_and_withdrawn_ends_where_a_fresh_run_ends(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float], data: st.DataObject
) -> None:
    """Replay: whatever was held on the way leaves no trace."""
    ready = compiled(rules)
    detour = data.draw(draws.given)
    result = extend(run(ready, facts | detour, values), data.draw(draws.given), data.draw(draws.values))
    kept = (result.given - detour) | facts
    replayed = run(ready, kept, values)
    assert replayed.facts == naive_fixpoint(rules, kept, values).facts
    assert told_all(replayed) == told_all(extend(run(ready), kept, values))


@law
@given(any_or_layered, st.lists(st.tuples(st.booleans(), draws.given, draws.values), min_size=1, max_size=6))
def test_answers_that_come_and_go_leave_what_a_fresh_run_gives(
    rules: list[FactRule], steps: list[tuple[bool, set[Fact], dict[str, float]]]
) -> None:
    """Facts and values told, changed and withdrawn in any order; never told, withdrawn all the same."""
    ready = compiled(rules)
    result = run(ready)
    facts: frozenset[Fact] = frozenset()
    values: dict[str, float] = {}
    for comes, some_facts, some_values in steps:
        earlier, earlier_told = result, told_all(result)
        if comes:
            result = extend(result, some_facts, some_values)
            facts, values = facts | some_facts, values | some_values
        else:
            result = withdraw(result, some_facts, some_values)
            facts = facts - some_facts
            values = {name: value for name, value in values.items() if name not in some_values}
        fresh = run(ready, facts, values)
        assert told_all(result) == told_all(fresh)
        assert (result.given, result.values) == (fresh.given, fresh.values)
        assert told_all(earlier) == earlier_told


@law
@given(any_or_layered, draws.given, draws.values)
def test_facts_and_values_that_no_rule_mentions_change_nothing_else(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float]
) -> None:
    ready = compiled(rules)
    stranger: Fact = ("weather", "wet")
    with_it = run(ready, facts | {stranger}, {**values, "rain": 4.0})
    without = run(ready, facts, values)
    assert with_it.facts == without.facts | {stranger}
    assert with_it.fired == without.fired
    assert all(with_it.support(fact) == without.support(fact) for fact in without.facts)


@pytest.fixture
def circle() -> RuleSet:
    return compiled(
        [
            FactRule("r1", (Has(("p",)),), (("A",),)),
            FactRule("r2", (Has(("A",)),), (("B",),)),
            FactRule("r3", (Has(("B",)),), (("A",),)),
        ]
    )


def test_facts_that_only_support_each_other_go_when_their_ground_is_withdrawn(circle: RuleSet) -> None:
    """From p follows A, from A B, from B A: without p both are out, however the result with p came about."""
    with_p = extend(run(circle), [("p",)])
    assert with_p.facts == {("p",), ("A",), ("B",)}
    assert run(circle, with_p.given - {("p",)}).facts == frozenset()
    assert withdraw(with_p, [("p",)]).facts == frozenset()


def test_facts_on_a_circle_do_not_keep_each_other_up_from_a_later_stratum() -> None:
    """From p follows A at once; B and A support each other one stratum later, where the absence of n is known."""
    rules = compiled(
        [
            FactRule("r1", (Has(("p",)),), (("A",),)),
            FactRule("r2", (Has(("A",)), Lacks(("n",))), (("B",),)),
            FactRule("r3", (Has(("B",)), Lacks(("n",))), (("A",),)),
            FactRule("r4", (Has(("m",)),), (("n",),)),
        ]
    )
    with_p = run(rules, [("p",)])
    assert with_p.facts == {("p",), ("A",), ("B",)}
    assert withdraw(with_p, [("p",)]).facts == frozenset()
    with_m = extend(with_p, [("m",)])
    assert with_m.facts == {("p",), ("A",), ("m",), ("n",)}
    assert withdraw(with_m, [("m",)]).facts == with_p.facts


def test_a_fact_is_never_supported_by_what_rests_on_it(circle: RuleSet) -> None:
    result = run(circle, [("p",)])
    assert result.support(("A",)) == Support("r1", (("p",),), (), ())
    assert result.support(("B",)) == Support("r2", (("A",),), (), ())


def test_a_shorter_way_learned_later_is_the_one_named() -> None:
    """Extending may bring a derived fact a support of fewer waves; it must be named, as in a fresh run."""
    rules = compiled(
        [
            FactRule("a", (Has(("p",)),), (("q",),)),
            FactRule("b", (Has(("q",)),), (("r",),)),
            FactRule("c", (Has(("s",)),), (("r",),)),
        ]
    )
    first = run(rules, [("p",)])
    assert first.support(("r",)) == Support("b", (("q",),), (), ())
    assert extend(first, [("s",)]).support(("r",)) == Support("c", (("s",),), (), ())


def test_ties_go_to_the_first_rule_by_id_whatever_fact_came_first() -> None:
    """Twenty facts that two rules give in the same wave, from the given facts and again one wave later."""
    rules = []
    for n in range(20):
        rules += [
            FactRule(f"{n}a", (Has(("left", f"{n}")),), (("both", f"{n}"),)),
            FactRule(f"{n}b", (Has(("right", f"{n}")),), (("both", f"{n}"),)),
            FactRule(f"{n}y", (Has(("both", f"{n}")),), (("y", f"{n}"),)),
            FactRule(f"{n}z", (Has(("both", f"{n}")),), (("z", f"{n}"),)),
            FactRule(f"{n}c", (Has(("z", f"{n}")),), (("end", f"{n}"),)),
            FactRule(f"{n}d", (Has(("y", f"{n}")),), (("end", f"{n}"),)),
        ]
    result = run(compiled(rules), [(side, f"{n}") for n in range(20) for side in ("left", "right")])
    for n in range(20):
        for fact, rule in ((("both", f"{n}"), f"{n}a"), (("end", f"{n}"), f"{n}c")):
            support = result.support(fact)
            assert support is not None
            assert support.rule == rule


def test_an_absence_is_judged_after_everything_that_could_fill_it() -> None:
    """The rule with the absence comes first by id and has nothing to wait for; still it runs last."""
    rules = compiled(
        [
            FactRule("a", (Lacks(("c",)),), (("d",),)),
            FactRule("b", (Has(("p",)),), (("b",),)),
            FactRule("c", (Has(("b",)),), (("c",),)),
        ]
    )
    assert run(rules, [("p",)]).facts == {("p",), ("b",), ("c",)}
    assert run(rules).facts == {("d",)}


def test_a_given_fact_is_given_even_where_it_could_be_derived() -> None:
    rules = compiled([FactRule("a", (Has(("p",)),), (("q",),))])
    assert run(rules, [("p",), ("q",)]).support(("q",)) is None


def test_conditions_and_conclusions_written_twice_count_once() -> None:
    once = Has(("p",))
    twice = Compare("x", "above", 1.0)
    rules = compiled([FactRule("a", (once, twice, once, twice), (("q",), ("q",)))])
    assert run(rules, [("p",)], {"x": 2.0}).holds(("q",))
    assert not run(rules, [("p",)]).holds(("q",))


def test_two_rules_with_one_id_are_refused() -> None:
    rule = FactRule("same", (), (("q",),))
    with pytest.raises(ValueError, match="two rules have the id 'same'"):
        compile_rules([rule, FactRule("other", (), ()), rule])


def test_a_rule_set_tells_its_size() -> None:
    ready = compiled([FactRule("a", (Has(("p",)),), (("q",),)), FactRule("b", (Lacks(("q",)),), (("r",),))])
    assert repr(ready) == "RuleSet(2 rules, 3 facts, 2 strata)"
    assert repr(run(ready, [("p",)])).startswith("Result(rules=RuleSet(2 rules, 3 facts, 2 strata), given=")


@pytest.mark.parametrize("rules", [[], [FactRule("a", (), ())]])
def test_rules_that_say_nothing_derive_nothing(rules: Collection[FactRule]) -> None:
    assert run(compiled(list(rules)), [("p",)]).facts == {("p",)}


def test_a_cycle_through_an_absence_is_a_value() -> None:
    assert isinstance(compile_rules([FactRule("a", (Lacks(("q",)),), (("q",),))]), Cycle)
