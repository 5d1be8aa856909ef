"""What is at hand: checks that need something else are not asked."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job.question import Question, ask_from_list
from coldiron.job.state import KIT, State
from coldiron.job.steps import Answered
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose_several
from coldiron.readings.refusal import UNKNOWN, AnswerError


def ask_kit(state: State) -> Question:
    """What is at hand."""
    return ask_from_list(
        KIT,
        "What tools do you have with you? Name them all.",
        kit_choices(state.book),
        minutes=0.5,
        why="You are not asked for checks that you have no tools for.",
        several=True,
    )


def kit_of(book: Book, text: str) -> tuple[str, ...]:
    """The kit a text names: `all`, `none`, or several by commas; numbers count in the list that is asked.

    Raises:
        AnswerError: a word of it is no declared kit.
    """
    if text.strip().lower() in UNKNOWN:
        return tuple(book.kits)
    pairs = kit_choices(book)
    named = choose_several(text, pairs)
    if "all" in named:
        return tuple(book.kits)
    return tuple(name for name in named if name != "none")


def kit_choices(book: Book) -> list[tuple[str, str]]:
    """What can be answered when the kit is asked for, and what each stands for, in the order of the list."""
    return [("all", "all of these"), ("none", "none of these"), *((kit.id, kit.name) for kit in book.kits.values())]


class AtHand(KindOfQuestion):
    """What is at hand."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question for the kit."""
        return name == KIT

    def ask(self, state: State, name: str) -> Question:
        """Ask for all kit of the book."""
        return ask_kit(state)

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read ids by commas, or that there is none."""
        return ",".join(kit_of(state.book, text)) or "none"

    def apply(self, state: State, step: Answered) -> None:
        """Keep what is at hand."""
        try:
            state.kit = frozenset(kit_of(state.book, step.value))
        except AnswerError:
            state.kit = frozenset()  # a newer book has no such kit

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell it by the names of the kit."""
        known, kits = state.book.kits, value.split(",")
        if set(kits) >= known.keys():
            return "At hand:", "all of it"
        return "At hand:", "; ".join(known[kit].name if kit in known else kit for kit in kits)
