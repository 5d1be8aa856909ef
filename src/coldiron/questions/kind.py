"""What every kind of question can do. Each kind is one file beside this one and one line in `table.py`."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Literal

from coldiron.book.book import Book
from coldiron.job.question import Question
from coldiron.job.state import NOT_SURE, State
from coldiron.job.steps import Answered, AnswerStep, Step
from coldiron.readings.choosing import choose
from coldiron.readings.refusal import UNKNOWN, AnswerError

Unasked = Literal["always", "proven", "never"]
"""When an answer may be given that nobody asked for: at any time, once the repair is proven, or never."""

NOT_DUE = "'{}' is not due now."
"""Said of a question that is put only where it is due."""


class KindOfQuestion(ABC):
    """One kind of question: whose it is, how it is put, how its answer is read, what it changes, how it is told.

    `unasked` says when it may be answered without being asked, `by_name` whether a typed line may begin with its id,
    `listed` whether `change` lists its answers, `reading` whether an answer unasked is a reading already taken.
    """

    unasked: Unasked = "always"
    by_name: bool = False
    listed: bool = True
    reading: bool = False

    @abstractmethod
    def owns(self, book: Book, name: str) -> bool:
        """Whether an id of the log, or of a question, is of this kind."""

    def ask(self, state: State, name: str) -> Question:
        """The question as it would be put now, cautions left out; of some kinds that is only known where it is due.

        Raises:
            AnswerError: this machine has no such question, or it is not due now.
        """
        raise AnswerError("not now", NOT_DUE.format(name))

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """What is written in the log for an answer as typed: the raw text of a reading, else ids of what was chosen.

        Raises:
            AnswerError: the answer cannot be taken, or is implausible and `sure` is not given.
        """
        if text.lower() in UNKNOWN and NOT_SURE[0] in asked.choices:
            return text.lower()
        return choose(text, asked.pairs)

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """The entry of the log for an answer to the question that is on the page.

        Raises:
            AnswerError: as `read`.
        """
        return AnswerStep(asked.id, self.read(state, asked, text, sure=sure))

    def apply(self, state: State, step: Answered) -> None:  # noqa: B027 - some answers change nothing but the log
        """What an entry of the log changes in the state. Never raises on an entry that was accepted once."""

    def leaves(self, step: Answered) -> str:
        """The id of what an entry of the log leaves undone besides; empty if nothing."""
        return ""

    def take_back(self, state: State, name: str) -> None:  # noqa: B027 - an answer in words has moved nothing
        """What is known no more of the machine once an answer to the question `name` was taken back."""

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """An answer as it can be read: what was asked, and what was said."""
        return f"{name}:", value
