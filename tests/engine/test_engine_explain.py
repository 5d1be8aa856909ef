"""Explanations: a proof can be checked step by step, an obstacle is a real one, every change has its reason."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.engine import (
    Changes,
    Compare,
    Fact,
    FactRule,
    Has,
    Lacks,
    Loss,
    Obstacle,
    ProofStep,
    RuleSet,
    changes,
    compile_rules,
    run,
    why,
    why_not,
)
from coldiron.engine.sentences import say_changes, say_obstacle, say_proof
from support import engine_rules as draws
from support.engine_rules import condition_holds, naive_strata

law = settings(deadline=None, max_examples=100)
any_or_layered = st.one_of(
    draws.any_rules().filter(lambda rules: naive_strata(rules) is not None), draws.layered_rules()
)


def compiled(rules: list[FactRule]) -> RuleSet:
    made = compile_rules(rules)
    assert isinstance(made, RuleSet), str(made)
    return made


@law
@given(any_or_layered, draws.given, draws.values)
def test_every_fact_that_holds_has_a_proof_that_can_be_checked(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float]
) -> None:
    """A step is given, or its rule gives it and each of the rule's conditions holds on steps that came before."""
    by_id = {rule.id: rule for rule in rules}
    result = run(compiled(rules), facts, values)
    for fact in result.facts:
        proof = why(result, fact)
        assert proof is not None
        assert proof.fact == fact
        seen: set[Fact] = set()
        for step in proof.steps:
            assert step.fact not in seen
            if step.support is None:
                assert step.fact in facts
            else:
                rule = by_id[step.support.rule]
                assert step.fact in rule.then
                assert set(step.support.has) <= seen
                assert {*map(Has, step.support.has), *map(Lacks, step.support.lacks), *step.support.compares} == set(
                    rule.when
                )
                assert all(condition_holds(condition, result.facts, values) for condition in rule.when)
            seen.add(step.fact)


@law
@given(any_or_layered, draws.given, draws.values)
def test_a_missing_fact_names_the_first_obstacle_of_every_rule_that_could_give_it(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float]
) -> None:
    result = run(compiled(rules), facts, values)
    for fact in ((letter,) for letter in draws.LETTERS):
        obstacles = why_not(result, fact)
        if result.holds(fact):
            assert obstacles == ()
            continue
        assert why(result, fact) is None
        assert [obstacle.rule for obstacle in obstacles] == sorted(rule.id for rule in rules if fact in rule.then)
        for obstacle in obstacles:
            when = next(rule.when for rule in rules if rule.id == obstacle.rule)
            place = when.index(obstacle.condition)
            assert all(condition_holds(condition, result.facts, values) for condition in when[:place])
            assert not condition_holds(obstacle.condition, result.facts, values)


@law
@given(any_or_layered, draws.given, draws.given, draws.values, draws.values)
def test_changes_name_every_difference_and_a_reason_for_each(
    rules: list[FactRule], before: set[Fact], after: set[Fact], old: dict[str, float], new: dict[str, float]
) -> None:
    ready = compiled(rules)
    one, two = run(ready, before, old), run(ready, after, new)
    changed = changes(one, two)
    assert [step.fact for step in changed.gained] == sorted(two.facts - one.facts)
    assert [loss.fact for loss in changed.lost] == sorted(one.facts - two.facts)
    assert all((step.support is None) == (step.fact in after) for step in changed.gained)
    for loss in changed.lost:
        assert (loss.support is None) == (loss.fact in before)
        assert loss.support is None or loss.obstacle in why_not(two, loss.fact)
    assert changes(two, two) == Changes((), ())


YARD = [
    FactRule("no_feed", (Has(("isolator", "on")), Compare("feed", "below", 1.0)), (("feed", "dead"),)),
    FactRule("no_feed_seen", (Has(("lamp", "dark")),), (("feed", "dead"),)),
    FactRule("ask_link", (Has(("feed", "dead")), Lacks(("link", "seen"))), (("ask", "link"),)),
]


@pytest.mark.parametrize(
    ("facts", "values", "sentences"),
    [
        ([], {}, ["no_feed does not apply: isolator on does not hold."]),
        ([("isolator", "on")], {}, ["no_feed does not apply: it is not known whether feed is below 1."]),
        ([("isolator", "on")], {"feed": 12.4}, ["no_feed does not apply: it is not so that feed is below 1."]),
    ],
)
def test_obstacles_in_words(facts: list[Fact], values: dict[str, float], sentences: list[str]) -> None:
    obstacles = why_not(run(compiled(YARD), facts, values), ("feed", "dead"))
    assert [say_obstacle(obstacle) for obstacle in obstacles] == [
        *sentences,
        "no_feed_seen does not apply: lamp dark does not hold.",
    ]


def test_a_fact_in_the_way_is_named() -> None:
    result = run(compiled(YARD), [("lamp", "dark"), ("link", "seen")])
    assert why_not(result, ("ask", "link")) == (Obstacle("ask_link", Lacks(("link", "seen")), "present"),)
    assert say_obstacle(why_not(result, ("ask", "link"))[0]) == "ask_link does not apply: link seen holds."


def test_what_nobody_can_derive_has_no_obstacles() -> None:
    result = run(compiled(YARD))
    assert why_not(result, ("lamp", "dark")) == ()
    assert why_not(result, ("never", "heard of")) == ()


def test_a_proof_in_words_reads_from_what_was_given_to_what_follows() -> None:
    """The caller's own words stand for the facts."""
    proof = why(run(compiled(YARD), [("isolator", "on")], {"feed": 0.2}), ("ask", "link"))
    assert proof is not None
    assert say_proof(proof, "-".join) == (
        "isolator-on: given.",
        "feed-dead: by no_feed, from isolator-on and feed is below 1.",
        "ask-link: by ask_link, from feed-dead and no link-seen.",
    )
    assert proof.step(("isolator", "on")) == ProofStep(("isolator", "on"), None)
    with pytest.raises(KeyError):
        proof.step(("lamp", "dark"))


def test_a_rule_without_conditions_always_gives_its_facts() -> None:
    proof = why(run(compiled([FactRule("ground", (), (("p",),))])), ("p",))
    assert proof is not None
    assert say_proof(proof) == ("p: by ground, always.",)


def test_changes_in_words() -> None:
    ready = compiled([*YARD, FactRule("live", (Compare("feed", "above", 11.0),), (("feed", "live"),))])
    before = run(ready, [("isolator", "on")], {"feed": 0.2})
    after = run(ready, [("key", "on")], {"feed": 12.2})
    assert say_changes(changes(before, after)) == (
        "ask link: no longer, for ask_link does not apply: feed dead does not hold.",
        "feed dead: no longer, for no_feed does not apply: isolator on does not hold.",
        "isolator on: withdrawn.",
        "now feed live: by live, from feed is above 11.",
        "now key on: given.",
    )


def test_a_fact_lost_because_its_rule_left_the_rule_set() -> None:
    before = run(compiled(YARD), [("lamp", "dark")])
    after = run(compiled([]), [("lamp", "dark")])
    lost = {loss.fact: loss for loss in changes(before, after).lost}
    assert lost[("feed", "dead")] == Loss(("feed", "dead"), before.support(("feed", "dead")), None)
    assert say_changes(changes(before, after)) == (
        "ask link: no longer, for ask_link is no longer a rule for it.",
        "feed dead: no longer, for no_feed_seen is no longer a rule for it.",
    )


def test_a_proof_ten_thousand_rules_deep_needs_no_recursion() -> None:
    size = 10_000
    rules = [FactRule(f"r{n:05}", (Has((str(n),)),), ((str(n + 1),),)) for n in range(size)]
    proof = why(run(compiled(rules), [("0",)]), (str(size),))
    assert proof is not None
    assert len(proof.steps) == size + 1
