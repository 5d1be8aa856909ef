"""Machines that hold every pair of options that some machine can have together: a small set of large variants."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import combinations

from coldiron.book.book import Book
from coldiron.book.machines import Circuit
from coldiron.book.variants import brought, variants

Pair = frozenset[str]


def pairs_of(circuit: Circuit) -> set[Pair]:
    """The pairs of what a circuit is: the one it comes from, and each option changed."""
    marks = circuit.id.replace("+", " +").replace("-", " -").split()
    return {frozenset(pair) for pair in combinations(marks, 2)}


def possible(book: Book) -> set[Pair]:
    """Every pair that some machine with at most two options changed has."""
    return {pair for one in two_changed(book) for pair in pairs_of(one)}


def two_changed(book: Book) -> Iterator[Circuit]:
    """Every machine of a book with one or two options changed, each once."""
    seen = set()
    for circuit in book.circuits.values():
        for one in variants(book, circuit):
            for other in (one, *variants(book, one)):
                if other.id not in seen:
                    seen.add(other.id)
                    yield other


def covering(book: Book, seed: int = 1) -> tuple[Circuit, ...]:
    """Machines that together have every possible pair: options brought in by chance until none is left to cover."""
    chance = random.Random(seed)  # noqa: S311 - no secret
    left = possible(book)
    found = []
    while left:
        tries = [_grown(book, one, chance) for one in chance.sample(_holding(book, left), k=1) for _ in range(12)]
        best = max(tries, key=lambda circuit: len(pairs_of(circuit) & left))
        found.append(best)
        left -= pairs_of(best)
    return tuple(found)


def _holding(book: Book, left: set[Pair]) -> list[Circuit]:
    """Machines with two options changed that have a pair that is left, in the order of the book."""
    return [one for one in two_changed(book) if pairs_of(one) & left]


def _grown(book: Book, circuit: Circuit, chance: random.Random) -> Circuit:
    """A machine with as many options more as it can have, brought in by chance."""
    options = chance.sample(list(book.options), k=len(book.options))
    for option in options:
        if chance.random() < 0.7:
            circuit = brought(book, circuit, option) or circuit
    return circuit
