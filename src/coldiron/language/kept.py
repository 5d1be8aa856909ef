"""Books and syntax trees as JSON, and back: the form in which they lie in the cache.

A book is one line of JSON for each of its mappings, so that a consultation turns into records only what it looks at.
"""

from __future__ import annotations

import json
from importlib import import_module

from coldiron.book import book as whole
from coldiron.book import problem
from coldiron.book.book import NO_MAPPINGS, Book
from coldiron.book.later import Later
from coldiron.language import codec
from coldiron.language.spread import events_of, faults_of, parts_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from coldiron.book.problem import Problem

_APART = (*NO_MAPPINGS, "parts", "faults")
"""What is no mapping of its own: it follows from the mappings, from the problems, or is one text."""


def _sections() -> list[tuple[str, str]]:
    """Name and annotation of every mapping of a book that is kept."""
    entries = codec.fields_of(Book)
    return [(name, kind) for name, kind in entries if name not in _APART]


def book_to(book: Book, problems: tuple[Problem, ...]) -> bytes:
    """Return a book and its problems as lines of JSON."""
    values = [book.hash, problems, book.aside, *(getattr(book, name) for name, _ in _sections())]
    return b"\n".join(json.dumps(codec.encode(value), separators=(",", ":")).encode() for value in values)


def book_from(data: bytes) -> tuple[Book, tuple[Problem, ...]]:
    """Return the book and the problems that `book_to` made lines of."""
    first, second, third, *rest = data.split(b"\n")
    made = {name: _later(name, kind, line) for (name, kind), line in zip(_sections(), rest, strict=True)}
    parts = Later(lambda: parts_of(made["sections"]))
    faults = Later(lambda: faults_of(parts, made["kinds"], made["checks"]) | events_of(made["routes"], made["events"]))
    problems: tuple[Problem, ...] = codec.decode("tuple[Problem, ...]", json.loads(second), vars(problem))
    aside: tuple[str, ...] = tuple(json.loads(third))
    broken = broken_by(problems, aside)
    return Book(json.loads(first), **made, parts=parts, faults=faults, broken=broken, aside=aside), problems


def broken_by(problems: tuple[Problem, ...], aside: tuple[str, ...]) -> tuple[Problem, ...]:
    """Return the errors that keep a book out of use: all but those of the files that were set aside."""
    return tuple([one for one in problem.errors(problems) if one.place.file not in aside])


def _later(name: str, kind: str, line: bytes) -> Later:
    """A mapping of a book that is made of its line, its records imported, when it is first looked at."""
    return Later(lambda: codec.decode(kind, json.loads(line), names_of(name)))


def names_of(section: str) -> dict[str, Any]:
    """Return the names that the annotation of a mapping of a book may use."""
    return vars(import_module(whole.LATER[section]) if section in whole.LATER else whole)
