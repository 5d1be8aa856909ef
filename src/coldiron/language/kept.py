"""Books and syntax trees as JSON, and back: the form in which they lie in the cache.

A book is one line of JSON for each of its mappings, so that a consultation turns into records only what it looks at.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib import import_module

from coldiron.book import book as whole
from coldiron.book import problem
from coldiron.book.book import Book
from coldiron.language import codec
from coldiron.language.spread import faults_of, parts_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, ItemsView, Iterator, KeysView, ValuesView
    from typing import Any

    from coldiron.book.problem import Problem
    from coldiron.language.tree import Tree

_APART = ("hash", "broken", "parts", "faults")
"""What is no mapping of its own: it follows from the mappings, from the problems, or is one text."""


class Later(Mapping[str, "Any"]):
    """A mapping that is made when it is first looked at."""

    __slots__ = ("_made", "_make")

    def __init__(self, make: Callable[[], dict[str, Any]]) -> None:
        self._make = make
        self._made: dict[str, Any] | None = None

    def _all(self) -> dict[str, Any]:
        if self._made is None:
            self._made = self._make()
        return self._made

    def __getitem__(self, key: str) -> Any:
        """Return one entry."""
        return self._all()[key]

    def __iter__(self) -> Iterator[str]:
        """Walk the ids in the order of the files."""
        return iter(self._all())

    def __len__(self) -> int:
        """Count the entries."""
        return len(self._all())

    def __contains__(self, key: object) -> bool:
        """Tell whether there is an entry."""
        return key in self._all()

    def keys(self) -> KeysView[str]:
        """Return the ids; with `values`, `items` and `get` far quicker here than what `Mapping` makes of the others."""
        return self._all().keys()

    def values(self) -> ValuesView[Any]:
        """Return the entries."""
        return self._all().values()

    def items(self) -> ItemsView[str, Any]:
        """Return ids with entries."""
        return self._all().items()

    def get(self, key: str, default: Any = None) -> Any:
        """Return one entry, or what is given instead."""
        return self._all().get(key, default)

    def __repr__(self) -> str:
        """Show it as the mapping it is."""
        return repr(self._all())


def _sections() -> list[tuple[str, str]]:
    """Name and annotation of every mapping of a book that is kept."""
    entries = codec.fields_of(Book)
    return [(name, kind) for name, kind in entries if name not in _APART]


def book_to(book: Book, problems: tuple[Problem, ...]) -> bytes:
    """Return a book and its problems as lines of JSON."""
    values = [book.hash, problems, *(getattr(book, name) for name, _ in _sections())]
    return b"\n".join(json.dumps(codec.encode(value), separators=(",", ":")).encode() for value in values)


def book_from(data: bytes) -> tuple[Book, tuple[Problem, ...]]:
    """Return the book and the problems that `book_to` made lines of."""
    first, second, *rest = data.split(b"\n")
    made = {name: _later(name, kind, line) for (name, kind), line in zip(_sections(), rest, strict=True)}
    parts = Later(lambda: parts_of(made["sections"]))
    faults = Later(lambda: faults_of(parts, made["kinds"], made["checks"]))
    problems: tuple[Problem, ...] = codec.decode("tuple[Problem, ...]", json.loads(second), vars(problem))
    broken = problem.errors(problems)
    return Book(json.loads(first), **made, parts=parts, faults=faults, broken=broken), problems


def _later(name: str, kind: str, line: bytes) -> Later:
    """A mapping of a book that is made of its line, its records imported, when it is first looked at."""
    return Later(lambda: codec.decode(kind, json.loads(line), names_of(name)))


def names_of(section: str) -> dict[str, Any]:
    """Return the names that the annotation of a mapping of a book may use."""
    return vars(import_module(whole.LATER[section]) if section in whole.LATER else whole)


def tree_to(tree: Tree, problems: tuple[Problem, ...]) -> bytes:
    """Return a syntax tree and its problems as JSON."""
    return json.dumps(codec.encode((tree, problems)), separators=(",", ":")).encode()


def tree_from(data: bytes) -> tuple[Tree, tuple[Problem, ...]]:
    """Return the syntax tree and the problems that `tree_to` made JSON of."""
    from coldiron.language import tree as trees  # noqa: PLC0415 - only an author needs syntax trees

    tree, problems = json.loads(data)
    found: Tree = codec.decode("Tree", tree, vars(trees))
    return found, codec.decode("tuple[Problem, ...]", problems, vars(problem))
