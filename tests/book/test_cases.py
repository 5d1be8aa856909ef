"""The cases of the shipped book hold, and every rule of it is worth having."""

from __future__ import annotations

from functools import cache

import pytest

from coldiron.audit.safety.before import TYPED
from coldiron.book.cases import ExpectsWarned
from coldiron.book.conclusions import Advises, WarnsOf
from coldiron.book.rules import Rule
from coldiron.record import replace
from support.book_cases import Outcome, fired, not_understood, outcome, outcome_by, outcome_without, shortfall
from support.mechanic import shipped
from support.sizes import THOROUGH, few

LEAST_SHARE = 0.3
"""The share of the cases that must come from a published source: the rest is common practice."""


@cache
def reached(case: str) -> Outcome:
    """What a case comes to with the whole book."""
    book = shipped()
    return outcome(book, book.cases[case])


def only_advises(rule: Rule) -> bool:
    """Whether a rule does no more than say something; such a rule changes no question, caution or verdict."""
    return all(isinstance(conclusion, Advises) for conclusion in rule.then)


@pytest.mark.parametrize("name", few(shipped().cases, 120, len(shipped().cases)))
def test_a_case_gives_readings_its_machine_can_show(name: str) -> None:
    """Every reading of a case is one of the findings of a check of its machine."""
    assert not_understood(shipped(), shipped().cases[name]) == []


@pytest.mark.parametrize("name", shipped().cases)
def test_a_case_leads_to_what_it_expects(name: str) -> None:
    """Published worked examples, and the trade's own, come out as they are told; each names its source."""
    book = shipped()
    case = book.cases[name]
    missed = {str(expect): shortfall(book, case, expect, reached(name)) for expect in case.expects}
    assert {expect: came for expect, came in missed.items() if came} == {}


@pytest.mark.skipif(not THOROUGH, reason="each rule left out, over all cases: in the thorough run")
def test_every_rule_counts() -> None:
    """Without it, some case asks another question, warns of something else, or comes to another verdict."""
    book = shipped()
    waiting = {name for name, rule in book.rules.items() if not only_advises(rule)}
    for name, case in book.cases.items():
        for rule in sorted(waiting.intersection(fired(book, case))):
            if outcome_without(book, case, [rule]).counts() != reached(name).counts():
                waiting.discard(rule)
    assert waiting == set()


def warning() -> list[tuple[str, str]]:
    """Every line of a rule that makes a DANGER or WARNING due: the rule and the caution."""
    book = shipped()
    rules = book.rules.values()
    lines = [(rule.id, then.caution) for rule in rules for then in rule.then if isinstance(then, WarnsOf)]
    return [(rule, name) for rule, name in lines if book.cautions[name].word in TYPED]


@pytest.mark.parametrize(("rule", "caution"), warning())
def test_no_warning_of_a_rule_can_be_lost_unnoticed(rule: str, caution: str) -> None:
    """Without the line some case expects the caution in vain; what makes it due before a step, the audit misses."""
    book = shipped()
    kept = tuple(then for then in book.rules[rule].then if getattr(then, "caution", "") != caution)
    lesser = {**book.rules, rule: replace(book.rules[rule], then=kept)}
    wanting = [
        (case, expect)
        for case in book.cases.values()
        for expect in case.expects
        if isinstance(expect, ExpectsWarned) and expect.caution == caution and rule in fired(book, case)
    ]
    assert any(shortfall(book, case, expect, outcome_by(book, case, lesser)) for case, expect in wanting)


def test_a_rule_that_only_advises_says_something_in_some_case() -> None:
    """Its words are shown at the end of at least one case."""
    book = shipped()
    silent = {name for name, rule in book.rules.items() if only_advises(rule)}
    for case in book.cases.values():
        silent -= set(fired(book, case))
    assert silent == set()


def test_cases_come_from_outside_as_well() -> None:
    """Many cases are published worked examples, each with its source by name."""
    cases = shipped().cases.values()
    published = [case for case in cases if not case.source.startswith("common practice")]
    assert len(published) >= LEAST_SHARE * len(cases)
    assert all(case.source for case in cases)
