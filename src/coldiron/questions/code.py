"""A trouble code that a controller shows."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import CODE
from coldiron.job.question import Question
from coldiron.job.state import State
from coldiron.job.steps import Answered
from coldiron.machine.codes import entry_of, in_words, read_code
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.refusal import AnswerError


class ShowsCode(KindOfQuestion):
    """A trouble code: `code` at the prompt, with its number behind a point in the log. It is never asked for."""

    reading = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is a trouble code, and no check of that name."""
        return name.partition(".")[0] == CODE and name not in book.checks

    def ask(self, state: State, name: str) -> Question:
        """Ask which code it shows."""
        return Question(id=name, kind="intake", text="Which trouble code does the machine show?")

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read SPN and FMI; each code is taken down once."""
        code = read_code(text)
        if code in state.codes:
            raise AnswerError("not now", f"That code is written down already: {in_words(state.book, code)}.")
        return str(code)

    def apply(self, state: State, step: Answered) -> None:
        """Keep it; one that the book does not know is a note too."""
        try:
            code = read_code(step.value)
        except AnswerError:
            return  # as it stands in the log it says nothing; what is accepted always reads
        if code in state.codes:
            return
        state.codes.append(code)
        if entry_of(state.book, code) is None:
            state.notes.append(f"Trouble code {in_words(state.book, code)}")

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell it in plain words."""
        return "Trouble code:", in_words(state.book, read_code(value))
