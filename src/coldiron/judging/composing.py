"""A machine composed for a consultation: made at its first use, then the same for the life of the process."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.circuits.machine import compose
from coldiron.circuits.predictor import Predictor
from coldiron.judging.setup import Setup
from coldiron.store.cache import Cache


def composed(book: Book, circuit: str, cache: Cache | None = None) -> Setup:
    """A circuit of a book, composed; what is solved of it is kept in the cache."""
    machine = compose(book, circuit)
    return Setup(machine, Predictor(machine, cache), cache)


_made: dict[tuple[str, str], Setup] = {}


def setup_of(book: Book, circuit: str) -> Setup:
    """The setup for a circuit of a book; made at its first use, then the same for the life of the process."""
    key = (book.hash, circuit)
    if key not in _made:
        _made[key] = composed(book, circuit, Cache())
    return _made[key]


def keep_solved() -> None:
    """Keep what was solved on the way for the next job on such a machine; if it cannot be, nothing is lost."""
    for setup in _made.values():
        setup.predictor.save()
