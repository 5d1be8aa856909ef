"""Trouble codes in sentences: the confirmation when one is written down, and the reason it counts."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.book.history import Code
from coldiron.judging.setup import Setup
from coldiron.machine.codes import HOW, TroubleCode, entry_of, in_words, read_code

LISTED = 4
"""Most faults named where a code makes several likelier."""


def confirmation(book: Book, setup: Setup | None, code: TroubleCode) -> tuple[str, ...]:
    """The answer to a trouble code: its words, and the faults it makes likelier."""
    entry = entry_of(book, code)
    if entry is None:
        said = (
            "This tool does not know that code. It is kept as a note and changes nothing. Look in the maker's manual."
        )
        return (f"Written down: {in_words(book, code)}. {said}",)
    return (f"Written down: {in_words(book, code)}. {entry.says}", _likelier(book, setup, entry))


def _likelier(book: Book, setup: Setup | None, entry: Code) -> str:
    """The faults of the machine that a code makes likelier, in one sentence."""
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
    """The meaning of a trouble code and why it counts, with `more` its source; of every code given if none is named.

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
