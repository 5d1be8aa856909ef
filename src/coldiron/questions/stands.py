"""How the machine stands after somebody else worked on it: one look round, one list."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.job.at_machine import STANDS, look_round, moved_value
from coldiron.job.question import Question
from coldiron.job.state import State
from coldiron.job.steps import Answered
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose
from coldiron.readings.refusal import UNKNOWN, AnswerError


def ask_stands(state: State, names: Iterable[str]) -> Question:
    """How the machine stands after somebody else worked on it: which of some settings are not as usual."""
    known = state.book.settings
    rows = [(name, known[name].in_words(moved_value(known[name]))) for name in names]
    return Question(
        id=STANDS,
        kind="intake",
        text="Walk around the machine and look. Which of these are so now? Name them all.",
        choices=("none", *(name for name, _ in rows)),
        meanings=("none of these", *(words for _, words in rows)),
        minutes=2.0,
        why="Only a person who has looked can say how it stands.",
        several=True,
    )


class Stands(KindOfQuestion):
    """Which settings are not as usual."""

    unasked = "never"
    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question how the machine stands."""
        return name == STANDS

    def ask(self, state: State, name: str) -> Question:
        """Ask it of every setting that is said by itself."""
        return ask_stands(state, [one for one, setting in state.book.settings.items() if setting.confirm])

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read ids by commas; the first of the choices says that it is none."""
        if text.lower() in UNKNOWN:
            return UNKNOWN[2]
        named = dict.fromkeys(choose(word, asked.pairs) for word in text.split(","))
        if asked.choices[0] in named and len(named) > 1:
            raise AnswerError("not a choice", f"'{text}' says none of these and names some: which is it?")
        return ",".join(named)

    def apply(self, state: State, step: Answered) -> None:
        """Take the machine as it was seen."""
        look_round(state, step.value)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell what is not as usual."""
        return "Not as usual:", value
