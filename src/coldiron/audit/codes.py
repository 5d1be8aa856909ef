"""Trouble codes with two entries, or that speak of nothing any circuit has."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import sites
from coldiron.book.book import Book
from coldiron.book.history import Code
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def codes(book: Book) -> tuple[Problem, ...]:
    """Report an SPN with an FMI that two entries explain, and entries of which every shift is out of reach."""
    return (*_twice(book), *_nowhere(book))


def _twice(book: Book) -> Iterator[Problem]:
    first: dict[tuple[int, int], Code] = {}
    for code in book.codes.values():
        for fmi in code.fmis:
            known = first.setdefault((code.spn, fmi), code)
            if known is not code:
                note = (("the first", known.place),)
                yield mistake(
                    "code-twice", code.place, spn=code.spn, fmi=fmi, one=known.id, other=code.id, related=note
                )


def _nowhere(book: Book) -> Iterator[Problem]:
    where = sites(book)
    for code in book.codes.values():
        reached = (site.has_faults(shift.faults) for site in where for shift in code.shifts)
        if where and code.shifts and not any(reached):
            yield mistake("code-nowhere", code.place, word=code.id)
