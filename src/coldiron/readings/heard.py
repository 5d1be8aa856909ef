"""An owner's own words: which answers of the book they may mean. What they may mean is asked, never taken as said."""

from __future__ import annotations

import re
from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT
from coldiron.phrases import says
from coldiron.readings.other_words import in_book_words
from coldiron.record import dataclass

_VOLTS = re.compile(r"(?<![\d.,])(\d+)[ -]?v(?:olts?)?(?!\w)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class MayMean:
    """The phrases that were said, and the answers to a question that they may mean: their ids, and in words."""

    phrase: str
    meaning: str
    answers: tuple[str, ...]


def heard(book: Book, text: str) -> dict[str, MayMean]:
    """By question, the complaint first, what a text may mean; nothing of what it denies.

    Of a question that takes one answer it is the first of the list; of complaints all that fit.
    """
    words = (text, in_book_words(text))
    does = [(_phrase(complaint.hears, words), complaint.name, complaint.id) for complaint in book.complaints.values()]
    found = {COMPLAINT: _meant(does, most=len(does))}
    for asked in book.questions.values():
        said = [(_phrase(answer.hears, words), answer.meaning, answer.id) for answer in asked.answers]
        found[asked.id] = _meant(said, most=len(said) if asked.several else 1)
    return {name: one for name, one in found.items() if one is not None}


def _meant(said: Iterable[tuple[str, str, str]], most: int) -> MayMean | None:
    """The phrases that were said, with what each may mean; None if none was."""
    meant = [one for one in said if one[0]][:most]
    if not meant:
        return None
    phrases, meanings, answers = zip(*meant, strict=True)
    return MayMean("', '".join(phrases), "; ".join(meanings), answers)


def _phrase(hears: Iterable[str], words: Iterable[str]) -> str:
    """The first of some phrases that is said, as it can be read."""
    return next((one.replace(" .. ", " ... ") for one in hears if any(says(said, one) for said in words)), "")


def hears(book: Book) -> bool:
    """Whether any answer of a book is known by an owner's own words."""
    return any(answer.hears for asked in book.questions.values() for answer in asked.answers)


def sort_heard(book: Book, text: str) -> str:
    """The sort of machine that a text names by the longest of its phrases; nothing if it names none."""
    words = (text, in_book_words(text))
    named = [
        (len(phrase), one.id)
        for one in book.usual.values()
        for phrase in one.hears
        if any(says(said, phrase) for said in words)
    ]
    return max(named, key=lambda each: each[0], default=(0, ""))[1]


def volts_heard(text: str) -> str:
    """The volts that a text names, such as 24 of "a 24 V digger"; nothing if it names none, or several."""
    named = set(_VOLTS.findall(text))
    return named.pop() if len(named) == 1 else ""
