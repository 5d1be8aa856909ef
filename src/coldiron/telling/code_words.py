"""What is said of a trouble code: when it is taken down, and why it counts."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.book.history import Code
from coldiron.judging.setup import Setup
from coldiron.machine.codes import HOW, TroubleCode, entry_of, in_words, read_code

LISTED = 4
"""Faults that are named where a code makes several likelier."""


def taken_down(book: Book, setup: Setup | None, code: TroubleCode) -> tuple[str, ...]:
    """What is said when a trouble code was taken down: its words, and what it changes."""
    entry = entry_of(book, code)
    if entry is None:
        said = (
            "This tool does not know that code. It is kept as a note and changes nothing. Look in the maker's manual."
        )
        return (f"Written down: {in_words(book, code)}. {said}",)
    return (f"Written down: {in_words(book, code)}. {entry.says}", _likelier(book, setup, entry))


def _likelier(book: Book, setup: Setup | None, entry: Code) -> str:
    """Which faults of the machine a code makes likelier."""
    if setup is None:
        return "It counts once the machine is known."
    refs = [shift.faults for shift in entry.shifts if shift.factor > 1]
    named = dict.fromkeys(fault for ref in refs for fault in setup.grounding.named(ref))
    if not named:
        return "It changes nothing on this circuit."
    listed = [book.faults[name].name for name in named]
    more = f"; and {len(listed) - LISTED} more" if len(listed) > LISTED else ""
    return f"It makes these likelier: {'; '.join(listed[:LISTED])}{more}."


def why_code(book: Book, text: str, given: Iterable[TroubleCode], *, more: bool = False) -> tuple[str, ...]:
    """What a trouble code says and why it counts, with `more` its source; of all that were given if none is named.

    Raises:
        AnswerError: the text is no trouble code.
    """
    named = (read_code(text),) if text else tuple(given)
    if not named:
        return (f"No trouble code has been given. {HOW}",)
    return tuple(line for code in named for line in _why_one(book, code, more=more))


def _why_one(book: Book, code: TroubleCode, *, more: bool) -> tuple[str, ...]:
    entry = entry_of(book, code)
    opening = f"{in_words(book, code)}."
    if entry is None:
        return (opening, "This tool does not know it, so it changes nothing. Look it up in the maker's manual.")
    source = (f"Source: {entry.source}.",) if more else ()
    return (opening, entry.says, entry.because, *source)
