"""Strata: rules that depend on their own absence are told apart from all others, and the cycle is shown."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.engine import Cycle, CycleLink, FactRule, Has, Lacks, RuleSet, compile_rules, run
from support import engine_rules as draws
from support.engine_rules import naive_level, naive_strata

law = settings(deadline=None, max_examples=150)


@law
@given(draws.any_rules())
def test_a_cycle_is_reported_exactly_where_the_plain_strata_have_no_end(rules: list[FactRule]) -> None:
    assert isinstance(compile_rules(rules), Cycle) == (naive_strata(rules) is None)


@law
@given(draws.layered_rules())
def test_strata_are_the_lowest_possible(rules: list[FactRule]) -> None:
    made = compile_rules(rules)
    assert isinstance(made, RuleSet)
    plain = naive_strata(rules)
    assert plain is not None
    assert {rule.id: level for rule, level in zip(made.rules, made.level, strict=True)} == {
        rule.id: naive_level(rule, plain) for rule in rules
    }


@law
@given(draws.any_rules().filter(lambda rules: naive_strata(rules) is None))
def test_a_reported_cycle_is_one(rules: list[FactRule]) -> None:
    """Each link is in its rule, gives what the next one needs, and the first looks for an absence."""
    cycle = compile_rules(rules)
    assert isinstance(cycle, Cycle)
    by_id = {rule.id: rule for rule in rules}
    assert cycle.links[0].absent
    for link, after in zip(cycle.links, (*cycle.links[1:], cycle.links[0]), strict=True):
        rule = by_id[link.rule]
        assert (Lacks if link.absent else Has)(link.needs) in rule.when
        assert link.gives in rule.then
        assert link.gives == after.needs
        assert link.rule in str(cycle)
    assert len({link.rule for link in cycle.links}) == len(cycle.links)


@law
@given(draws.any_rules().filter(lambda rules: naive_strata(rules) is None), st.data())
def test_the_cycle_reported_does_not_depend_on_the_order_of_rules(rules: list[FactRule], data: st.DataObject) -> None:
    shuffled = data.draw(st.permutations(rules))
    assert compile_rules(shuffled) == compile_rules(rules)


def test_a_rule_that_looks_for_its_own_absence_is_a_cycle_of_one() -> None:
    cycle = compile_rules([FactRule("a", (Lacks(("q",)),), (("q",),))])
    assert cycle == Cycle((CycleLink("a", ("q",), True, ("q",)),))
    assert str(cycle) == ("A fact must not depend on its own absence: rule a gives 'q' from the absence of 'q'.")


def test_a_cycle_without_an_absence_is_no_fault() -> None:
    rules = compile_rules([FactRule("a", (Has(("p",)),), (("q",),)), FactRule("b", (Has(("q",)),), (("p",),))])
    assert isinstance(rules, RuleSet)


def test_the_absence_of_what_nobody_derives_costs_no_stratum() -> None:
    rules = compile_rules([FactRule("a", (Lacks(("told",)),), (("q",),))])
    assert isinstance(rules, RuleSet)
    assert rules.levels == 1


def test_a_chain_of_ten_thousand_rules_compiles_and_runs() -> None:
    """Neither strata nor the loop recurse, so that depth is no limit."""
    size = 10_000
    rules = [FactRule(f"r{n:05}", (Has((str(n),)),), ((str(n + 1),),)) for n in range(size)]
    rules.append(FactRule("end", (Lacks((str(size),)),), (("short",),)))
    made = compile_rules(rules)
    assert isinstance(made, RuleSet)
    assert run(made, [("0",)]).holds((str(size),))
    assert run(made, [("1",)]).holds((str(size),))
    assert run(made).facts == {("short",)}
