"""Questions of the book to the owner or the mechanic: how the machine stands, and what has happened to it."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import Ask
from coldiron.job import acknowledged
from coldiron.job.question import Question, ask_from_list
from coldiron.job.state import NOT_SURE, State
from coldiron.job.steps import Answered
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose, choose_several
from coldiron.readings.refusal import UNKNOWN, AnswerError


def ask_story(asked: Ask, why: str = "") -> Question:
    """A question of the book to the owner or the mechanic."""
    return ask_from_list(
        asked.id,
        asked.ask,
        story_choices(asked),
        minutes=asked.minutes,
        why=why or asked.because,
        several=asked.several,
    )


def answers_of(asked: Ask, text: str) -> tuple[str, ...]:
    """The answers a text names, several by commas where the question allows it; none if it says that nobody knows.

    Raises:
        AnswerError: a word of it is no answer to the question.
    """
    if text.strip().lower() in UNKNOWN:
        return ()
    pairs = story_choices(asked)
    named = choose_several(text, pairs) if asked.several else (choose(text, pairs),)
    return tuple(name for name in named if name != NOT_SURE[0])


def story_choices(asked: Ask) -> list[tuple[str, str]]:
    """What can be answered to a question of the book, in the order of its list; safety is never left open."""
    pairs = [(answer.id, answer.meaning) for answer in asked.answers]
    return pairs if asked.stage == "safety" else [*pairs, NOT_SURE]


class Story(KindOfQuestion):
    """A question of the book; one of safety is never left open."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether the book has such a question."""
        return name in book.questions

    def ask(self, state: State, name: str) -> Question:
        """Ask it as the book has it."""
        return ask_story(state.book.questions[name])

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read ids of answers by commas, or that nobody knows."""
        known = state.book.questions[asked.id]
        if known.stage == "safety":
            return ",".join(_seen(answers_of(known, text), text))
        if text.lower() in UNKNOWN:
            return text.lower()
        return ",".join(answers_of(known, text)) or UNKNOWN[2]

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was answered; what hung on the answer before has to be acknowledged again."""
        asked = state.book.questions[step.id]
        try:
            state.questions[step.id] = answers_of(asked, step.value)
        except AnswerError:
            state.questions[step.id] = ()  # a newer book has no such answer
        state.minutes += asked.minutes
        state.acks = acknowledged.ended_by(state.book, state.acks, step.id)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the question without its instructions, and the answers by their meanings."""
        known = state.book.questions[name]
        meanings = {answer.id: answer.meaning for answer in known.answers}
        asked, mark, _ = known.ask.partition("?")
        return f"{asked}{mark}", ", ".join(meanings.get(word, word) for word in value.split(","))


def _seen(chosen: tuple[str, ...], text: str) -> tuple[str, ...]:
    """Safety is never left open: an answer that names nothing is refused."""
    if not chosen:
        raise AnswerError("not a choice", f"'{text}' does not say how the machine stands. Go and look first.")
    return chosen
