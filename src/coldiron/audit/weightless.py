"""Lines that change nothing: a factor of one, odds for a fault the circuit does not have, one plain answer too many."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import sites
from coldiron.book.book import Book
from coldiron.book.conclusions import AsksSooner, ShiftsOdds
from coldiron.book.conditions import AnswerIs
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def weightless(book: Book) -> tuple[Problem, ...]:
    """Report odds that reach no fault, and shifts and preferences by one."""
    return (*_odds(book), *_factors(book), *_answers(book))


def _answers(book: Book) -> Iterator[Problem]:
    """Report what a question of history has too many of: one plain answer says that there is nothing to tell."""
    asked_for = {(told.question, told.answer) for told in _told_of(book)}
    for question in book.questions.values():
        if question.stage != "history":
            continue
        moving = [answer for answer in question.answers if answer.shifts or answer.warns]
        moving += [answer for answer in question.answers if (question.id, answer.id) in asked_for]
        plain = [answer for answer in question.answers if answer not in moving]
        if not moving:
            yield mistake("question-idle", question.place, word=question.id)
        for answer in plain[1:] if moving else ():
            yield mistake("answer-idle", answer.place, word=answer.id, question=question.id, other=plain[0].id)


def _told_of(book: Book) -> Iterator[AnswerIs]:
    """The answers that a rule or a danger speaks of."""
    for rule in book.rules.values():
        yield from (condition.test for condition in rule.when if isinstance(condition.test, AnswerIs))
    for danger in book.dangers.values():
        signs = [sign for told in danger.told for sign in told] + [s for lift in danger.lifts for s in lift.signs]
        yield from (AnswerIs(sign.name, sign.value) for sign in signs if sign.test == "history")


def _odds(book: Book) -> Iterator[Problem]:
    for site in sites(book):
        own = site.circuit.id in book.circuits  # a variant may lack what its circuit gives odds for
        for fault in site.circuit.odds if own else ():
            if fault.partition(".")[0] not in site.parts:
                yield mistake("odds-of-nothing", site.circuit.place, fault=fault, circuit=site.circuit.id)


def _factors(book: Book) -> Iterator[Problem]:
    for rule in book.rules.values():
        for then in rule.then:
            if isinstance(then, ShiftsOdds | AsksSooner) and then.factor == 1:
                yield mistake("times-one", then.place)
    for question in book.questions.values():
        for answer in question.answers:
            if any(shift.factor == 1 for shift in answer.shifts):
                yield mistake("times-one", answer.place)
    for code in book.codes.values():
        if any(shift.factor == 1 for shift in code.shifts):
            yield mistake("times-one", code.place)
