"""Who comes back to a parked job, and whether the machine was left alone."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job.at_machine import ANOTHER_DAY, AWAY, SAME, TOUCHED, come_back
from coldiron.job.question import Question
from coldiron.job.state import State
from coldiron.job.steps import Answered
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose
from coldiron.readings.refusal import UNKNOWN


def ask_away(state: State) -> Question:
    """Who comes back to a parked job, and whether the machine was left alone."""
    off = [state.book.settings[name].in_words(state.settings[name]) for name, _ in state.undone if state.settings[name]]
    return Question(
        id=AWAY,
        kind="intake",
        text="You are back at this job. What has changed since it was left?",
        choices=(SAME, ANOTHER_DAY, TOUCHED),
        meanings=(
            "nothing: same day, same person, and nobody was at the machine",
            "another day or another person; nobody has worked on it",
            "somebody has worked on it, or nobody knows",
        ),
        minutes=0.0,
        how=f"As it was left: {'; '.join(off)}." if off else "",
        why="The machine may have changed since you left it.",
    )


class Away(KindOfQuestion):
    """What has changed since the job was parked; who does not know counts it as touched."""

    unasked = "never"
    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question who comes back."""
        return name == AWAY

    def ask(self, state: State, name: str) -> Question:
        """Ask it."""
        return ask_away(state)

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read the choice; nobody knows is the worst of them."""
        return TOUCHED if text.lower() in UNKNOWN else choose(text, asked.pairs)

    def apply(self, state: State, step: Answered) -> None:
        """Somebody comes back."""
        come_back(state, step.value)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell what has changed."""
        return "What has changed since it was left:", value
