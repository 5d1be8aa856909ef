"""The card of a machine in sentences, and what a note made at a step is about."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job.card import about_check
from coldiron.job.state import State


def card_in_words(state: State) -> tuple[str, ...]:
    """What stands on the machine's card, as this job has it, line by line."""
    card, book = state.card, state.book
    lines = [f"{name_of(book, of)}: {text}" for of, text in card.notes]
    lines += [f"{name_of(book, of)}: {text} when sound." for of, text in card.healthy if of in book.checks]
    lines += [f"Fixed {day}: {book.faults[of].name}." for of, day in card.fixed if of in book.faults]
    if not lines:
        return ("Nothing is on its card yet. At a check you can type: card PLUG X14, BLUE WIRE.",)
    return tuple(lines)


def name_of(book: Book, about: str) -> str:
    """What a note is about, in words."""
    if about in book.parts:
        return book.parts[about].name or about
    if about in book.points:
        return book.points[about].name
    return book.checks[about].ask.rstrip("?.") if about in book.checks else about.replace("_", " ")


def at_hand(book: Book, step: str) -> str:
    """What a note made at a step is about: a part, a point or a check; empty where the step is at no part."""
    if step in book.faults:
        return book.faults[step].part
    return about_check(book.checks[step]) if step in book.checks else ""


def about_named(book: Book, words: str) -> tuple[str, ...]:
    """The ids of the parts, points and checks that some words name: one of that id, of that name, or that have all."""
    plain = " ".join(words.casefold().split())
    ids = dict.fromkeys((*book.parts, *book.points, *book.checks))
    if plain.replace(" ", "_") in ids:
        return (plain.replace(" ", "_"),)
    names = {one: name_of(book, one).casefold() for one in ids}
    same = [one for one, name in names.items() if name in (plain, f"the {plain}")]
    wanted = plain.split()
    some = [one for one, name in names.items() if wanted and all(word in name for word in wanted)]
    return tuple(same[:1] or some)
