"""A job and the card of its machine: what it takes over when it begins, what it writes when that was asked for."""

from __future__ import annotations

import time

from coldiron.book.book import Book
from coldiron.book.machines import Card
from coldiron.cards.folder import files, path_of, set_aside, write
from coldiron.cards.reading import card_of, parser, told
from coldiron.job.card import MOST_NOTES, card_after, steps_of_card
from coldiron.job.state import State
from coldiron.job.steps import CardStep
from coldiron.record import replace


def taken_over(book: Book, name: str) -> tuple[tuple[CardStep, ...], tuple[str, ...]]:
    """The entries with which a job of a named machine begins, and what is wrong with its card, in sentences."""
    card, problems = card_of(book, name)
    said = tuple(told(one) for one in problems[:MOST_TOLD])
    if card is not None:
        return steps_of_card(card), said
    if not said:
        return (), ()
    return (), (*said, f"So the card of this machine is not used. Fix it in {path_of(name)}")


MOST_TOLD = 2
"""Problems of a card that are told on the first page of a job; `coldiron machine` tells all."""


def any_card() -> bool:
    """Whether any machine has a card."""
    return bool(files())


def keep(book: Book, state: State, name: str) -> None:
    """Write the card of a machine as a job leaves it, on top of what stands on it by now.

    Raises:
        StoreTrouble: it cannot be written; what stood there before still does.
    """
    state = replace(state, noted=parser().as_kept(state.noted))
    put(book, name, card_after(state, _present(book, name), time.strftime("%Y-%m-%d")))


def keep_notes(book: Book, name: str, notes: tuple[tuple[str, str], ...]) -> None:
    """Write notes on the card of a machine, which is begun where there is none.

    Raises:
        StoreTrouble: they cannot be written.
    """
    before = _present(book, name)
    after = dict.fromkeys((*before.notes, *parser().as_kept(notes)))
    put(book, name, replace(before, notes=tuple(after)[-MOST_NOTES:]))


def drop_notes(book: Book, name: str, card: Card, words: str) -> bool:
    """Take the notes that have some words in them off the card of a machine; false where none has.

    Raises:
        StoreTrouble: it cannot be written.
    """
    wanted = words.casefold()
    left = tuple(one for one in card.notes if wanted not in one[1].casefold())
    if left == card.notes:
        return False
    put(book, name, replace(card, notes=left))
    return True


def put(book: Book, name: str, card: Card) -> None:
    """Write the card of the machine of a name.

    Raises:
        StoreTrouble: it cannot be written.
    """
    write(path_of(name), parser().card_text(book, name, card))


def _present(book: Book, name: str) -> Card:
    """The card as it stands in its file; an empty one where there is none. One that cannot be read is kept beside."""
    card, _ = card_of(book, name)
    if card is None and path_of(name).exists():
        set_aside(path_of(name))
    return card or Card(name)
