"""Whether a setting was put to a value: said by itself, both ways, because what follows rests on it."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.book.book import Book
from coldiron.book.cautions import Caution
from coldiron.job.at_machine import is_left, is_setting, put, untold
from coldiron.job.question import Question
from coldiron.job.reported import NOT_DONE, NOT_TOLD
from coldiron.job.state import State
from coldiron.job.steps import SET, Answered, AnswerStep, ReadingStep, Step
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose
from coldiron.readings.refusal import UNKNOWN, AnswerError


def ask_set(state: State, name: str, value: str, due: Sequence[Caution], step: str = "") -> Question:
    """Whether a setting was put to a value: before the check `step`, or put back before the machine is handed over."""
    setting = state.book.settings[name]
    back = value == setting.normal
    stood = state.settings[name]
    told = "Not known how it stands." if stood == NOT_TOLD else f"You last said: {setting.in_words(stood)}."
    return Question(
        id=f"{SET}{name}@{step}" if step else SET + name,
        kind="set",
        text=f"{'Put back' if back else 'Set first'}: {setting.name} to '{value}'.",
        choices=(value, NOT_DONE),
        meanings=(setting.in_words(value), "not done: it stays as it is"),
        minutes=setting.minutes,
        cautions=tuple(due),
        how=told,
        why="It counts only once you have said so."
        if step
        else "Undo all that you disconnected, fitted or opened before you hand the machine back.",
        step=step or SET + name,
    )


class PutTo(KindOfQuestion):
    """A setting put to a value, before the check that its id names, or back before the machine is handed over."""

    unasked = "never"
    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is a setting of the book."""
        return is_setting(book, name)

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write that it is so now; or that it was not done, and then the check that wanted it is left undone too."""
        skipped = text.lower() in UNKNOWN
        answer = text.lower() if skipped else choose(text, asked.pairs)
        if answer == asked.choices[0]:
            return AnswerStep(asked.id, answer)
        if asked.step == asked.id:
            raise AnswerError("not now", "Put it back before you hand the machine back. If it has to wait, type: park.")
        return AnswerStep(asked.id, answer) if skipped else ReadingStep(asked.step, UNKNOWN[0])

    def apply(self, state: State, step: Answered) -> None:
        """Keep what it was put to."""
        put(state, step)

    def leaves(self, step: Answered) -> str:
        """Where it was left without a word, what it was wanted for is left undone too."""
        return step.id.partition("@")[2] if is_left(step.value) else ""

    def take_back(self, state: State, name: str) -> None:
        """Nobody knows how it stands."""
        untold(state, name)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the setting by its name."""
        return f"{state.book.settings[name.removeprefix(SET).partition('@')[0]].name}:", value
