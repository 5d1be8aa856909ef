"""The cautions that what was said makes due before every step."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import Answer
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
