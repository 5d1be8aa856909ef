"""The lines of all dangers of a book, found by the check or question they speak of, for the checks of one machine."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from coldiron.book.book import Book
from coldiron.book.dangers import Danger, Sign

Told = tuple[tuple[Danger, tuple[tuple[Sign, ...], ...]], ...]
"""Dangers, each with those of its lines that speak of one check or question."""


class DangerLines:
    """What every step of a job is held against. Made once for a machine: a book has hundreds of signs."""

    def __init__(self, book: Book, checks: tuple[str, ...]) -> None:
        self.book = book
        self.checks = checks
        self.made = made_of(checks)
        signs = [sign for danger in book.dangers.values() for told in danger.told for sign in told]
        signs += [sign for danger in book.dangers.values() for lift in danger.lifts for sign in lift.signs]
        self.speaking = frozenset(s.name.partition(".")[0] if s.test == "finding" else s.name for s in signs)
        self._telling: dict[str, Told] = {}

    def telling(self, name: str) -> Told:
        """The dangers that an answer to a check or question may tell of, in the order of the book."""
        if name not in self._telling:
            found = ((danger, _speaking(danger, name)) for danger in self.book.dangers.values())
            self._telling[name] = tuple((danger, lines) for danger, lines in found if lines)
        return self._telling[name]


def _speaking(danger: Danger, name: str) -> tuple[tuple[Sign, ...], ...]:
    return tuple(signs for signs in danger.told if any(speaks_of(sign.name, name) for sign in signs))


def speaks_of(sign: str, name: str) -> bool:
    """Whether a sign speaks of a check or question; a template speaks of every check made of it."""
    return sign in (name, name.partition(".")[0])


@lru_cache(maxsize=32)
def made_of(checks: tuple[str, ...]) -> Mapping[str, tuple[str, ...]]:
    """The checks of a machine by what a sign may call them: their own name, or that of their template."""
    found: dict[str, list[str]] = {}
    for check in checks:
        for name in dict.fromkeys((check, check.partition(".")[0])):
            found.setdefault(name, []).append(check)
    return {name: tuple(several) for name, several in found.items()}
