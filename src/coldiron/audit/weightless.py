"""Lines that change nothing: a factor of one, odds for a fault the circuit does not have."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import sites
from coldiron.book.book import Book
from coldiron.book.conclusions import AsksSooner, ShiftsOdds
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def weightless(book: Book) -> tuple[Problem, ...]:
    """Report odds that reach no fault, and shifts and preferences by one."""
    return (*_odds(book), *_factors(book))


def _odds(book: Book) -> Iterator[Problem]:
    for site in sites(book):
        for fault in site.circuit.odds:
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
