"""The cautions that what was said makes due before every step, and those that a step still waits for."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.book.history import Answer
from coldiron.job.acknowledged import Waiting, waiting
from coldiron.job.cautions import at_start
from coldiron.job.state import State


def chosen(book: Book, state: State) -> tuple[Answer, ...]:
    """Every answer given to a question of the book, in the order of the book."""
    return tuple(
        answer
        for asked in book.questions.values()
        if asked.id in state.questions
        for answer in asked.answers
        if answer.id in state.questions[asked.id]
    )


def warned_by_answers(book: Book, state: State) -> tuple[str, ...]:
    """Cautions that the owner's answers made due, and those due before any step."""
    return tuple(dict.fromkeys([*at_start(book), *(name for a in chosen(book, state) for name in a.warns)]))


def waiting_for(state: State, due: Iterable[str], step: str, *, moves: bool = False) -> Waiting:
    """What a step waits for: cautions to be read in full, and those that are only said to be still so."""
    return waiting(state.book, state.acks, due, step, moves=moves)
