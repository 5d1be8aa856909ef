"""The record of a card as rule text; reading that gives the record again, its place aside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldiron.book.book import Book
from coldiron.book.machines import LONGEST_NOTE, Card
from coldiron.book.variants import changes_of
from coldiron.cards.folder import id_of
from coldiron.language.printer import print_lines
from coldiron.language.record_text import as_text
from coldiron.language.tree import Phrase, Statement, Token

HAS, GONE = "has.", "not_fitted."

UNNAMED = "no_name"
"""The id of a card whose machine is called nothing."""


def card_text(book: Book, called: str, card: Card) -> str:
    """Return the card of the machine that is called so as rule text."""
    rows = [("name", [_text(card.name)])]
    for name, value in card.said:
        rows += _said(book, name, value)
    rows += [("without", [Phrase("list", _words(card.bare))])] if card.bare else []
    rows += [("note", [_pair("about", name, text)]) for name, text in card.notes]
    rows += [("healthy", [_pair("given", name, text)]) for name, text in card.healthy]
    rows += [("fixed", [_pair("given", name, text)]) for name, text in card.fixed]
    opener = Statement(_word("machine"), (Phrase("word", (_word(id_of(called) or UNNAMED),)),), 0, 0)
    return print_lines([opener, *(Statement(_word(keyword), tuple(words), 0, 1) for keyword, words in rows)])


def _said(book: Book, name: str, value: str) -> Iterator[tuple[str, list[Phrase]]]:
    """What was said of the kind of a machine, as a line."""
    if name == "circuit":
        base, more, less = changes_of(book, value)
        besides = [Phrase("besides", _words(more))] if more else []
        yield name, [_phrase("sort", base), *besides, *([Phrase("less", _words(less))] if less else [])]
    elif name == "volts":
        yield name, [Phrase("number", (_word(value),))]
    elif name == "fitted":
        yield "besides", [Phrase("list", _words(value.split(",")))]
    elif name.startswith(HAS):
        yield "has", [Phrase("has", _words((name.removeprefix(HAS), value)))]
    elif name.startswith(GONE):
        yield "lacks", [_phrase("word", name.removeprefix(GONE))]
    else:
        yield name, [_phrase("word", value)]


def _pair(form: str, name: str, text: str) -> Phrase:
    return Phrase(form, (_word(name), _word(_kept(text))))


def _phrase(form: str, word: str) -> Phrase:
    return Phrase(form, (_word(word),))


def _text(text: str) -> Phrase:
    return Phrase("text", (_word(_kept(text)),))


def as_kept(notes: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Notes as a card holds them, so that the same note is written once."""
    return tuple((of, _kept(text)) for of, text in notes)


def _kept(text: str) -> str:
    """A text as a card can hold it; a dash stands for one of which nothing can be seen."""
    return as_text(text)[:LONGEST_NOTE].rstrip() or "-"


def _word(text: str) -> Token:
    return Token(text, 0, 0)


def _words(texts: Iterable[str]) -> tuple[Token, ...]:
    return tuple(_word(text) for text in texts)
