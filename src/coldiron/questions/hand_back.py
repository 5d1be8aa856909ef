"""The last question of a job: whether the machine goes back, or still does not work."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.book.book import Book
from coldiron.book.duties import Duty
from coldiron.job.question import Question
from coldiron.job.state import HAND_BACK, State
from coldiron.job.steps import Answered
from coldiron.machine.duties import stops
from coldiron.questions.kind import KindOfQuestion

BY_THE_MAKERS_LIST = (
    "Everything is back as it was. This tool has no list of what this machine must do. Go by the maker's list: show "
    "each one, and that each interlock blocks the start. Then hand the machine back."
)
ALL_SHOWN = (
    "Everything is back as it was, and you saw it do all it must. Tell the owner the fault, the fix and the "
    "readings. Then hand the machine back."
)
SOME_OPEN = (
    "Everything is back as it was, but you did not see it do all it must. Give the owner a list of the open ones in "
    "writing, with all that must not be done until they are shown. Then hand the machine back."
)
NOT_TO_BE_USED = (
    "This machine must not be used. Something it may not run without was not shown. Hang a tag on it, and give "
    "the owner a list of the open ones in writing. Only then does it leave your hands, as out of service."
)


def ask_hand_back(still_open: Sequence[Duty], *, listed: bool) -> Question:
    """The last question of a job.

    Args:
        still_open: the duties that were not shown.
        listed: whether the book has any for this machine.
    """
    stopped = stops(still_open)
    text = NOT_TO_BE_USED if stopped else SOME_OPEN if still_open else ALL_SHOWN if listed else BY_THE_MAKERS_LIST
    written = "tagged out of service, and the owner has it in writing" if stopped else "the owner has it, handed back"
    return Question(
        id=HAND_BACK,
        kind="proof",
        text=text,
        choices=("done", "no"),
        meanings=(written, "something still does not work"),
        minutes=5.0,
        why="A machine that starts may still not be safe to work with.",
    )


class HandBack(KindOfQuestion):
    """Whether the machine is handed back."""

    unasked = "never"

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the last question."""
        return name == HAND_BACK

    def apply(self, state: State, step: Answered) -> None:
        """The job is over, or something still does not work."""
        state.handed_back = step.value == "done"
        state.kept_back = step.value == "no"

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell whether it was."""
        return "Handed back:", value
