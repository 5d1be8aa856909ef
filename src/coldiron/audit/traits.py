"""Traits and circuits: every two circuits of the same volts are told apart, and nothing is asked for nothing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from coldiron.book.book import Book
from coldiron.book.machines import Circuit, Trait
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def traits(book: Book) -> tuple[Problem, ...]:
    """Report circuits that no trait tells apart, traits that tell none apart, answers that no circuit gives.

    A book without traits asks for the circuit by its list, and has nothing to report.
    """
    if not book.traits:
        return ()
    return (*_alike(book), *_idle(book), *_unanswered(book))


def _pairs(book: Book) -> Iterator[tuple[Circuit, Circuit]]:
    for one, other in combinations(book.circuits.values(), 2):
        if one.volts == other.volts:
            yield one, other


def told_apart(one: Circuit, other: Circuit, trait: str) -> bool:
    """Whether both say something of a trait, and no answer fits both."""
    answers = one.has.get(trait, ()), other.has.get(trait, ())
    return all(answers) and not set(answers[0]) & set(answers[1])


def _alike(book: Book) -> Iterator[Problem]:
    for one, other in _pairs(book):
        if not any(told_apart(one, other, trait) for trait in book.traits):
            related = (("the other", one.place),)
            yield mistake("circuits-alike", other.place, one=other.id, other=one.id, volts=other.volts, related=related)


def _idle(book: Book) -> Iterator[Problem]:
    for trait in book.traits.values():
        if not any(told_apart(one, other, trait.id) for one, other in _pairs(book)):
            yield mistake("trait-idle", trait.place, word=trait.id)


def _unanswered(book: Book) -> Iterator[Problem]:
    for trait in book.traits.values():
        for answer in _never(book, trait):
            yield mistake("answer-nowhere", trait.place, word=answer, trait=trait.id)


def _never(book: Book, trait: Trait) -> list[str]:
    given = {answer for circuit in book.circuits.values() for answer in circuit.has.get(trait.id, ())}
    return [answer for answer, _ in trait.answers if answer not in given]
