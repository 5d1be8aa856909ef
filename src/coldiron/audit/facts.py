"""Facts that rules wait for in vain, or conclude for nobody."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.book import Book
from coldiron.book.conclusions import ConcludesFact
from coldiron.book.conditions import FactHolds
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.mistakes import mistake


def facts(book: Book) -> tuple[Problem, ...]:
    """Report conditions on a fact that no rule concludes, and facts concluded that no rule asks for."""
    concluded = {
        then.fact: then.place for rule in book.rules.values() for then in rule.then if isinstance(then, ConcludesFact)
    }
    asked = {test.fact for test, _ in _asked(book)}
    vain = [
        mistake("fact-never-concluded", place, word=test.fact)
        for test, place in _asked(book)
        if test.fact not in concluded
    ]
    idle = [mistake("fact-never-asked", place, word=name) for name, place in concluded.items() if name not in asked]
    return (*vain, *idle)


def _asked(book: Book) -> Iterator[tuple[FactHolds, Place]]:
    """Yield every condition on a fact, with its place."""
    for rule in book.rules.values():
        for one in rule.when:
            if isinstance(one.test, FactHolds):
                yield one.test, one.place
