"""The shipped book agrees with its own circuits; a copy of it with mistakes in it does not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from coldiron.book.book import Book
from coldiron.book.conclusions import Conclusion, CountsInstead
from coldiron.book.conditions import ReadingsAgainst
from coldiron.book.history import Answer
from coldiron.book.rules import Rule
from coldiron.book.variants import base_of
from coldiron.proving import Yard, alike, prove
from coldiron.proving.figures import figures
from coldiron.proving.reached import reached
from coldiron.proving.told import told
from coldiron.ruling.instances import Naming
from coldiron.store.cache import Cache
from support.mechanic import shipped
from support.sizes import THOROUGH

CACHE = Cache()
"""Solved values are those of the shipped parts and faults: what is spoiled here leaves both as they are."""

"""In a thorough run a case is spoiled as well: before it is denied, every pair of faults is tried."""

BARELY_ELECTRICAL = {(name, ("key_start.worn",)) for name in ("interlocks", "isolator_24", "jump_posts", "tap_12v")}
"""Where the contact of the key carries the coil of a relay alone, its wear shows in nothing."""

ALIKE = {
    ("fed_to_run", ("key_start.burnt", "key_start.dead")),
}
"""One part with one repair."""


def cut(book: Book, *names: str) -> Book:
    """A few machines, and the answers that speak of them: what moves a fault of another machine is idle on these."""
    few = few_of(book, names)
    namings = [Naming(solved.machine) for solved in Yard(few, CACHE).machines]

    def speaks(answer: Answer) -> bool:
        return not answer.shifts or any(naming.named(one.faults) for naming in namings for one in answer.shifts)

    asked = {
        name: replace(one, answers=tuple(answer for answer in one.answers if speaks(answer)))
        for name, one in book.questions.items()
    }
    return replace(few, questions=asked)


def few_of(book: Book, names: Iterable[str]) -> Book:
    """The circuits of these names, and the cases about them."""
    circuits = {name: book.circuits[name] for name in names}
    cases = {name: case for name, case in book.cases.items() if case.circuit in circuits}
    return replace(book, circuits=circuits, cases=cases)


def spoiled(book: Book) -> Book:
    """Two machines; a rule, a case and a check say what is not so."""
    book = cut(book, "direct_start", "isolator_24")
    rule = book.rules["lost_before_the_key"]
    without_end = replace(rule, when=tuple(one for one in rule.when if not one.negated))
    case = book.cases["three_places_motor_stud_live"]
    given = tuple(replace(one, value="3 V") if one.id == "s_terminal_volts" else one for one in case.given)
    check = replace(book.checks["feed_drop"], good="marginal")
    return replace(
        book,
        rules={**book.rules, rule.id: without_end},
        cases={case.id: replace(case, given=given)} if THOROUGH else {},
        checks={**book.checks, check.id: check},
    )


@pytest.mark.slow
def test_the_shipped_book_proves_clean() -> None:
    """The whole of it in a thorough run; three machines, and no case, in a plain one."""
    book = shipped()
    held = book if THOROUGH else replace(cut(book, "direct_start", "interlocks", "isolator_24"), cases={})
    assert [str(problem) for problem in prove(Yard(held, CACHE))] == []


def test_every_answer_moves_some_machine() -> None:
    """All machines, in a plain run too: only these tell whether an answer is idle."""
    assert [str(problem) for problem in told(Yard(shipped(), CACHE))] == []


@pytest.mark.slow
def test_a_spoiled_copy_does_not() -> None:
    """Each mistake once, at its own place."""
    book = spoiled(shipped())
    found = {(problem.kind, str(problem.place)) for problem in prove(Yard(book, CACHE))}
    marginal = next(one for one in book.checks["feed_drop"].findings if one.id == "marginal")
    given = [one for case in book.cases.values() for one in case.given if one.id == "s_terminal_volts"]
    assert found == {
        *(("case-against-circuit", str(one.place)) for one in given),
        ("sound-not-good", str(marginal.place)),
        ("rule-against-circuit", str(book.rules["lost_before_the_key"].then[0].place)),
    }


def test_a_finding_that_nothing_leads_to_any_more_is_found() -> None:
    """A pair of batteries that are never turned round both: no reading of the two together below zero."""
    book = shipped()
    chains = {name: chain for name, chain in book.chains.items() if name != "pair_charged_the_wrong_way"}
    alone = replace(few_of(book, ["isolator_24"]), chains=chains)
    reversed_ = next(one for one in book.checks["rest_volts"].findings if one.id == "reversed")
    assert reversed_.place in [problem.place for problem in reached(Yard(alone, CACHE))]


def test_the_rules_that_compare_readings_are_held_against_the_circuits() -> None:
    """Turned into what no circuit does, each of them is found: none is passed over."""
    book = shipped()
    comparing = {name: rule for name, rule in book.rules.items() if _finds_by_comparing(rule)}
    assert len(comparing) >= 3
    for name, rule in comparing.items():
        wrong = [_turned(one) for one in rule.then]
        lesser = replace(book, rules={name: replace(rule, then=tuple(wrong))})
        assert [problem.kind for problem in figures(Yard(lesser, CACHE))] == ["rule-against-circuit"], name


def _finds_by_comparing(rule: Rule) -> bool:
    compares = any(isinstance(one.test, ReadingsAgainst) for one in rule.when)
    return compares and any(isinstance(one, CountsInstead) for one in rule.then)


def _turned(then: Conclusion) -> Conclusion:
    if not isinstance(then, CountsInstead):
        return then
    return replace(then, finding="sound" if then.finding == "bad" else "bad")


def test_what_no_check_tells_apart_is_known() -> None:
    """Two faults that read alike everywhere would be one fault to a mechanic: there are none but the known ones."""
    groups = [group for solved in Yard(shipped(), CACHE).machines for group in alike(solved)]
    assert {(base_of(group.circuit), group.faults) for group in groups} == BARELY_ELECTRICAL | ALIKE
