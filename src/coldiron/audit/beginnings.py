"""What no job can begin without: a machine, and something wrong with it."""

from __future__ import annotations

from coldiron.book.book import NO_MAPPINGS, Book
from coldiron.book.problem import Problem
from coldiron.book.source import NOWHERE, Place
from coldiron.mistakes import mistake


def beginnings(book: Book) -> tuple[Problem, ...]:
    """Report a book without a circuit or without a complaint, at the first thing that stands in it."""
    needed = {"circuit": book.circuits, "complaint": book.complaints}
    return tuple(mistake("no-beginning", _first(book), what=what) for what, entries in needed.items() if not entries)


def _first(book: Book) -> Place:
    """The earliest place of any entry."""
    names = [name for name in Book.__match_args__ if name not in NO_MAPPINGS]
    places = [entry.place for name in names for entry in getattr(book, name).values() if hasattr(entry, "place")]
    return min(places, key=lambda one: (one.file, one.line), default=NOWHERE)
