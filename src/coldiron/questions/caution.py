"""What can hurt in a step: shown before it, acknowledged by the word for what is seen."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job import acknowledged
from coldiron.job.acknowledged import NOT_SO, SO, Waiting
from coldiron.job.question import Question
from coldiron.job.seeing import seen
from coldiron.job.state import State
from coldiron.job.steps import AcknowledgeStep, Step
from coldiron.questions.kind import KindOfQuestion


def ask_caution(due: Waiting, words: str, step: str = "") -> Question:
    """The preparation screen before a step: all cautions due together, with the word or the key that is asked for.

    All of a step stand on one page. Its word is that of the gravest; who types it has seen that all of it is so. A
    page with no DANGER and nothing that belongs to each step asks for one key.
    """
    if not due.typed:
        return _ask_one_key(due, words, step)
    first = due.full[0]
    return Question(
        id=first.id,
        kind="caution",
        text=f"Before you go on: {words}",
        choices=(first.type,),
        meanings=("type this word when you see with your own eyes that all of it is so",),
        cautions=(*due.full, *due.brief),
        why=first.harm,
        step=step,
        acks=tuple(caution.id for caution in (*due.full, *due.brief)),
        beside=tuple(caution.id for caution in due.brief),
    )


def _ask_one_key(due: Waiting, words: str, step: str) -> Question:
    cautions = (*due.full, *due.brief)
    return Question(
        id=cautions[0].id,
        kind="caution",
        text=f"{'Before' if due.full else 'Once more, before'} you go on: {words}",
        choices=(SO, NOT_SO),
        meanings=("it is so, I have just looked", "it is not so"),
        cautions=cautions,
        why=cautions[0].harm,
        step=step,
        acks=tuple(caution.id for caution in cautions),
        beside=tuple(caution.id for caution in due.brief),
        brief=True,
    )


class Hazard(KindOfQuestion):
    """Cautions due together before a step."""

    unasked = "never"
    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether the book has such a caution."""
        return name in book.cautions

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write which cautions were acknowledged, for which step, by which word."""
        return AcknowledgeStep(asked.acks, asked.step, seen(asked, text))

    def acknowledge(self, state: State, step: AcknowledgeStep) -> None:
        """Keep what was acknowledged."""
        state.acks = acknowledged.given(state.book, state.acks, step.cautions, step.before, word=step.word)
