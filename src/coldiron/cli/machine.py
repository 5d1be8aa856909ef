"""`coldiron machine`: the cards of the shop's machines, listed, shown, added to."""

from __future__ import annotations

from coldiron.cards.keeping import drop_notes, keep_notes
from coldiron.cards.showing import listed, shown
from coldiron.cards.words import about_named
from coldiron.cli.arguments import add_book, name
from coldiron.cli.exits import BOOK, DONE, USAGE
from coldiron.cli.working import book_to_use
from coldiron.plaintext import one_line
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container

    from coldiron.book.book import Book

MOST_NEAR = 6
"""Names that are listed where several fit."""


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("name", nargs="?", type=name, default="", help="show this machine's card; all if left out")
    change = parser.add_mutually_exclusive_group()
    note = "write a note about a part, point or check: --note 'start relay' 'left of the fuse box'"
    change.add_argument("--note", nargs=2, type=name, metavar=("PART", "WORDS"), help=note)
    change.add_argument("--drop", type=name, metavar="WORDS", help="take out the notes that have these words")
    add_book(parser)
    parser.set_defaults(run=lambda given: _run(given, parser))


def _run(given: argparse.Namespace, parser: argparse.ArgumentParser) -> int:
    if (given.note or given.drop) and not given.name:
        parser.error("which machine? Give its name first: coldiron machine NAME")
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    if not given.name:
        return _list(book)
    if given.note:
        return _note(book, given.name, *given.note)
    return _drop(book, given.name, given.drop) if given.drop else _show(book, given.name)


def _list(book: Book) -> int:
    rows = tuple(listed(book))
    for row in rows:
        tell(row)
    if not rows:
        tell("No machine has a card yet. At the end of a job you are asked if one is to be written.")
    return DONE


def _show(book: Book, called: str) -> int:
    """Show a card as it stands in its file, or what is wrong with it."""
    card, text = shown(book, called)
    if not text:
        tell(f"There is no card of '{one_line(called)}'. To list all: coldiron machine", error=True)
        return USAGE
    tell(text)
    return BOOK if card is None else DONE


def _note(book: Book, called: str, part: str, words: str) -> int:
    found = about_named(book, part)
    if len(found) != 1 or not words.strip():
        near = f" Did you mean: {', '.join(found[:MOST_NEAR])}?" if len(found) > 1 else ""
        wrong = "The note is empty." if words.strip() == "" else f"'{one_line(part)}' is no part, point or check."
        tell(f"{wrong}{near}", error=True)
        return USAGE
    card, text = shown(book, called)
    if card is not None or not text:  # a damaged one is put right first
        keep_notes(book, called, ((found[0], words),))
    return _show(book, called)


def _drop(book: Book, called: str, words: str) -> int:
    card, _ = shown(book, called)
    if card is not None and not drop_notes(book, called, card, words):
        tell(f"No note on it has these words: {one_line(words)}", error=True)
        return USAGE
    return _show(book, called)
