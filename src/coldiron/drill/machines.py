"""One of the shop's machines as the subject of a drill."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.variants import circuit_named
from coldiron.cards.keeping import taken_over
from coldiron.consult.session import Consultation


def machine_named(book: Book, name: str) -> str:
    """The circuit that a card tells of, or that of the book itself by its id; empty where there is none."""
    steps, _ = taken_over(book, name)
    if steps:
        return Consultation(book, steps).state.circuit
    found = circuit_named(book, name)
    return found.id if found is not None else ""
