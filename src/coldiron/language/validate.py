"""The records of a book checked against their annotations by pydantic, strictly.

The builders have said what is wrong in the text; this catches a record that a builder, or a program that makes rules,
has filled with something of the wrong sort. It runs when a book is built from text, never when one is read back.
"""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from coldiron.book import cases, rules
from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.book.source import NOWHERE
from coldiron.mistakes import mistake


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[Book]:
    Case, Rule = cases.Case, rules.Rule  # noqa: F841, N806 - pydantic looks here for what `Book` imports later
    return TypeAdapter(Book)


def validate(book: Book) -> tuple[Problem, ...]:
    """Return a problem for every field of a record that does not hold what its annotation says."""
    try:
        _adapter().validate_json(json.dumps(_plain(book)), strict=True)
    except ValidationError as fault:
        errors: dict[tuple[int | str, ...], str] = {}
        for error in fault.errors(include_url=False):
            if path := _path(book, error["loc"]):
                errors.setdefault(path, error["msg"])
        return tuple(_problem(book, path, message) for path, message in errors.items())
    return ()


def _plain(value: Any) -> Any:
    """Return a record as mappings by field name, tuples as lists."""
    if hasattr(value, "__record__"):
        return {name: _plain(getattr(value, name)) for name, _, _ in value.__record__}
    if isinstance(value, (tuple, list)):
        return [_plain(one) for one in value]
    if hasattr(value, "items"):
        return {key: _plain(one) for key, one in value.items()}
    return value


def _path(book: Book, steps: tuple[int | str, ...]) -> tuple[int | str, ...]:
    """Return where an error lies; nowhere if it is said of another record than the one of several that stands there."""
    value: Any = book
    path: list[int | str] = []
    for step in steps:
        fields = type(value).__match_args__ if hasattr(value, "__record__") else ()
        if step in fields:
            value = getattr(value, str(step))
        elif isinstance(value, (tuple, list)) or hasattr(value, "items"):
            value = value[step]
        elif fields and step != type(value).__name__:
            return ()
        else:
            continue
        path.append(step)
    return tuple(path)


def _problem(book: Book, path: tuple[int | str, ...], message: str) -> Problem:
    """Word one finding of pydantic, at the place of the entry it is in."""
    entries = getattr(book, str(path[0]))
    entry = entries.get(path[1]) if len(path) > 1 and hasattr(entries, "get") else None
    place = getattr(entry, "place", NOWHERE)
    field = ".".join(str(step) for step in path[2:])
    return mistake("not-valid", place, entry=".".join(str(step) for step in path[:2]), field=field, why=message)
