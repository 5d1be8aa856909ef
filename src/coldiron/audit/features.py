"""Features, options, usual machines: circuits of one voltage are told apart, nothing is asked for nothing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from coldiron.book.book import Book
from coldiron.book.machines import Circuit, Feature, UsualMachine
from coldiron.book.problem import Problem
from coldiron.book.variants import brought, told_apart, with_all
from coldiron.mistakes import mistake


def features(book: Book) -> tuple[Problem, ...]:
    """Report circuits that no feature tells apart, idle features, answers that none gives, options that fit none.

    And usual machines that cannot be, or that share a name.

    A book without features asks for the circuit by its list, and has nothing to report.
    """
    named = (*_unlike(book), *_of_two(book))
    if not book.features:
        return named
    return (*named, *_alike(book), *_idle(book), *_unanswered(book), *_unfitted(book))


def _unfitted(book: Book) -> Iterator[Problem]:
    for option in book.options.values():
        if not any(brought(book, circuit, option.id) for circuit in book.circuits.values()):
            yield mistake("option-fits-nothing", option.place, word=option.id)


def _pairs(book: Book) -> Iterator[tuple[Circuit, Circuit]]:
    for one, other in combinations(book.circuits.values(), 2):
        if one.volts == other.volts:
            yield one, other


def _alike(book: Book) -> Iterator[Problem]:
    for one, other in _pairs(book):
        if not any(told_apart(one, other, feature) for feature in book.features):
            related = (("the other", one.place),)
            yield mistake("circuits-alike", other.place, one=other.id, other=one.id, volts=other.volts, related=related)


def _idle(book: Book) -> Iterator[Problem]:
    giving = {feature for option in book.options.values() for feature in option.gives}
    for feature in book.features.values():
        if feature.id not in giving and not any(told_apart(one, other, feature.id) for one, other in _pairs(book)):
            yield mistake("feature-idle", feature.place, word=feature.id)


def _unanswered(book: Book) -> Iterator[Problem]:
    for feature in book.features.values():
        for answer in _never(book, feature):
            yield mistake("answer-nowhere", feature.place, word=answer, feature=feature.id)


def _never(book: Book, feature: Feature) -> list[str]:
    given = {answer for one in book.circuits.values() for answer in one.has.get(feature.id, ())}
    given |= {answer for option in book.options.values() for answer in option.gives.get(feature.id, ())}
    return [answer for answer, _ in feature.answers if answer not in given]


def _unlike(book: Book) -> Iterator[Problem]:
    """Circuits that cannot have all the options named with them."""
    for one in book.usual.values():
        for like in one.likes:
            if with_all(book, like.circuit, like.options) is None:
                yield mistake("like-cannot-be", like.place, circuit=like.circuit, options=", ".join(like.options))


def _of_two(book: Book) -> Iterator[Problem]:
    """Words that name two usual machines."""
    of: dict[str, UsualMachine] = {}
    for one in book.usual.values():
        for phrase in one.hears:
            first = of.setdefault(phrase.lower(), one)
            if first is not one:
                related = (("the other", first.place),)
                yield mistake("names-two", one.place, word=phrase, one=first.id, other=one.id, related=related)
