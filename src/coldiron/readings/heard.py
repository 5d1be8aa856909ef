"""An owner's own words: which answers of the book they may mean. What they may mean is asked, never taken as said."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.phrases import says
from coldiron.readings.other_words import in_book_words
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class MayMean:
    """The phrases that were said, and the answers to a question that they may mean, in the words of the book."""

    phrase: str
    meaning: str


def heard(book: Book, text: str) -> dict[str, MayMean]:
    """By question, in the order of the book, what a text may mean; nothing of what it denies.

    Of a question that takes one answer it is the first of the list.
    """
    words = (text, in_book_words(text))
    found: dict[str, MayMean] = {}
    for asked in book.questions.values():
        said = [(_phrase(answer.hears, words), answer.meaning) for answer in asked.answers]
        meant = [(phrase, meaning) for phrase, meaning in said if phrase][: None if asked.several else 1]
        if meant:
            phrases, meanings = zip(*meant, strict=True)
            found[asked.id] = MayMean("', '".join(phrases), "; ".join(meanings))
    return found


def _phrase(hears: Iterable[str], words: Iterable[str]) -> str:
    """The first of some phrases that is said, as it can be read."""
    return next((one.replace(" .. ", " ... ") for one in hears if any(says(said, one) for said in words)), "")


def hears(book: Book) -> bool:
    """Whether any answer of a book is known by an owner's own words."""
    return any(answer.hears for asked in book.questions.values() for answer in asked.answers)
