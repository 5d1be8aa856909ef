"""Cards as a command shows them: the list, one card as its file has it, what is wrong with one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from coldiron.book.book import Book
from coldiron.book.machines import Card
from coldiron.cards.folder import data_of, path_of
from coldiron.cards.printing import card_text
from coldiron.cards.reading import all_cards, read_card
from coldiron.drawing import draw_all
from coldiron.plaintext import columns, one_line

NAME_SHOWN = 40
"""Characters of a machine's name in the list."""


def listed(book: Book) -> Iterator[str]:
    """All cards, a line each."""
    for file, card, _ in all_cards(book):
        yield _row(file, card)


def _row(file: Path, card: Card | None) -> str:
    if card is None:
        return f"{_wide(file.stem)}  damaged: see coldiron machine {one_line(file.stem, NAME_SHOWN)}"
    return f"{_wide(card.name)}  {len(card.notes):>3} notes  {len(card.fixed):>3} fixed"


def _wide(name: str) -> str:
    shown = one_line(name, NAME_SHOWN)
    return shown + " " * (NAME_SHOWN + 3 - columns(shown))


def shown(book: Book, name: str) -> tuple[Card | None, str]:
    """The card of a machine, and how it stands in its file, or what is wrong with it; no text where it has none."""
    file = path_of(name)
    data = data_of(file)
    if data is None:
        return None, ""
    card, problems = read_card(book, file.name, data)
    if card is None:
        drawn = draw_all(problems, lambda _: data.decode("utf-8", "replace"))
        return None, f"{drawn}\nThis card is not used until that is put right: {file}"
    text = card_text(book, name, card)
    return card, f"{text}\nTo change it by hand, open this file in an editor: {file}"
