"""What is said of a trouble code: when it is taken down, and why it counts."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.judging.setup import Setup
from coldiron.machine.codes import HOW, TroubleCode, entry_of, in_words, read_code
from coldiron.model import Book, Code

LISTED = 4
"""Faults that are named where a code makes several likelier."""


def taken_down(book: Book, setup: Setup | None, code: TroubleCode) -> tuple[str, ...]:
    """What is said when a trouble code was taken down: its words, and what it changes."""
    entry = entry_of(book, code)
    if entry is None:
        said = "This book does not know that code: it is kept as a note and moves no odds. Look in the maker's book."
        return (f"Taken down: {in_words(book, code)}. {said}",)
    return (f"Taken down: {in_words(book, code)}. {entry.says}", _likelier(book, setup, entry))


def _likelier(book: Book, setup: Setup | None, entry: Code) -> str:
    """Which faults of the machine a code makes likelier."""
    if setup is None:
        return "It counts as soon as the sort of machine is known."
    refs = [shift.faults for shift in entry.shifts if shift.factor > 1]
    named = dict.fromkeys(fault for ref in refs for fault in setup.grounding.named(ref))
    if not named:
        return "It moves no odds on this sort of circuit."
    listed = [book.faults[name].name for name in named]
    more = f"; and {len(listed) - LISTED} more" if len(listed) > LISTED else ""
    return f"Likelier by it: {'; '.join(listed[:LISTED])}{more}."


def why_code(book: Book, text: str, given: Iterable[TroubleCode]) -> tuple[str, ...]:
    """What a trouble code says, why it counts and where that comes from; of all that were given if none is named.

    Raises:
        AnswerError: the text is no trouble code.
    """
    named = (read_code(text),) if text else tuple(given)
    if not named:
        return (f"No trouble code has been given. {HOW}",)
    return tuple(line for code in named for line in _why_one(book, code))


def _why_one(book: Book, code: TroubleCode) -> tuple[str, ...]:
    entry = entry_of(book, code)
    opening = f"{in_words(book, code)}."
    if entry is None:
        return (opening, "This book does not know it, so it moves no odds. Look it up in the maker's book.")
    return (opening, entry.says, entry.because, f"Source: {entry.source}.")
