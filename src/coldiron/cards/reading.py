"""The text of a card to its record, beside the book whose words it uses; what was read once is kept between runs."""

from __future__ import annotations

import json
from pathlib import Path
from types import ModuleType

from coldiron.book import machines
from coldiron.book.book import Book
from coldiron.book.machines import Card
from coldiron.book.problem import Problem
from coldiron.book.source import NOWHERE
from coldiron.cards.folder import MOST_BYTES, data_of, files, path_of
from coldiron.language import codec
from coldiron.store import stamp
from coldiron.store.cache import Cache, KeptSort

CARD = KeptSort("card", (stamp.TOP, "book", "cards", "jobs", "language", "mistakes", "store"))
"""A card that was read without a problem: kept by the book and its text."""


def read_card(book: Book, name: str, data: bytes) -> tuple[Card | None, tuple[Problem, ...]]:
    """Return the card in the bytes of a file, called `name` in problems, and what is wrong with it.

    With a problem there is no card: half of what the shop has written down could say something else.
    """
    cache, key = Cache(), CARD.key(book.hash, data)
    kept = cache.get(key) if book.hash and len(data) <= MOST_BYTES else None
    if kept is not None:
        found: Card = codec.decode("Card", json.loads(kept), vars(machines))
        return found, ()
    card, problems = parser().built(book, name, data)
    if card is not None and book.hash:
        cache.put(key, json.dumps(codec.encode(card)).encode())
    return card, problems


def parser() -> ModuleType:
    """What parses and prints cards, which takes some 70 ms; most jobs do neither."""
    from coldiron.cards import text  # noqa: PLC0415 - see above

    return text


def card_of(book: Book, name: str) -> tuple[Card | None, tuple[Problem, ...]]:
    """The card of the machine of a name and what is wrong with it; neither where it has none."""
    path = path_of(name)
    data = data_of(path)
    return read_card(book, path.name, data) if data is not None else (None, ())


def all_cards(book: Book) -> tuple[tuple[Path, Card | None, tuple[Problem, ...]], ...]:
    """Every card by the path of its file, with what is wrong with it."""
    read = ((path, data_of(path)) for path in files())
    return tuple((path, *read_card(book, path.name, data)) for path, data in read if data is not None)


def told(problem: Problem) -> str:
    """A problem of a card in a sentence: its place, what is wrong, and what may have been meant."""
    meant = f" Did you mean '{problem.nearest}'?" if problem.nearest else ""
    at = "" if problem.place == NOWHERE else f"{problem.place}: "
    return f"{at}{problem.sentence[:1].upper()}{problem.sentence[1:]}.{meant}"
