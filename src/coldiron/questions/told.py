"""What an owner tells in his own words."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT, TOLD
from coldiron.job.question import Question
from coldiron.job.state import State
from coldiron.job.steps import Answered
from coldiron.questions.kind import KindOfQuestion
from coldiron.questions.story import ask_story
from coldiron.readings.heard import heard
from coldiron.readings.refusal import AnswerError


def ask_heard(state: State) -> Question | None:
    """The first question of those that an owner's words may answer: what they may mean is confirmed by it."""
    for name, one in state.heard.items():
        if name != COMPLAINT and _is_open(state, name):
            return ask_story(state.book.questions[name], f"You said '{one.phrase}'. That may be: {one.meaning}.")
    return None


def _is_open(state: State, name: str) -> bool:
    return not state.complaint if name == COMPLAINT else name in state.book.questions and name not in state.questions


class OwnWords(KindOfQuestion):
    """Own words: `told` at the prompt, with a number behind a point in the log. They are never asked for."""

    reading = True
    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is what an owner told, and nothing of the book has that name."""
        return name.partition(".")[0] == TOLD and name not in book.checks and name not in book.questions

    def ask(self, state: State, name: str) -> Question:
        """Ask for his words."""
        return Question(id=name, kind="intake", text="What else did the owner tell?")

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Keep the words as they were said, if any question is about them that is still open."""
        words = " ".join(text.split())
        if not any(_is_open(state, name) for name in heard(state.book, words)):
            raise AnswerError(
                "not a choice", "No open question is about these words. To keep them: note, and the words."
            )
        return words

    def apply(self, state: State, step: Answered) -> None:
        """Note the words, and what is to be asked of them."""
        state.notes.append(f"Told: {step.value}")
        state.heard |= {name: one for name, one in heard(state.book, step.value).items() if name not in state.heard}

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell them as they were said."""
        return "Told:", value
