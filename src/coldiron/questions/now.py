"""What to do this second about a danger that was just told."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job.danger_records import NOW, Standing
from coldiron.job.question import Question
from coldiron.job.state import State
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.refusal import AnswerError


def ask_now(stands: Standing) -> Question:
    """What to do this second about a danger that was just told."""
    danger = stands.danger
    return Question(
        id=NOW + danger.id,
        kind="now",
        text=f"{danger.name[:1].upper()}{danger.name[1:]}. {danger.now}",
        choices=("done", "cannot"),
        meanings=("that is done", "it cannot be done: keep everybody away, and call help"),
        why=danger.because,
    )


class AtOnce(KindOfQuestion):
    """The page of a danger; that it was gone through stands in the log, and dangers are worked out from that."""

    unasked = "never"

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the page of a danger, also of one that a newer book does not have."""
        return name.startswith(NOW)

    def ask(self, state: State, name: str) -> Question:
        """Ask it as the danger has it, whether it stands or not."""
        danger = state.book.dangers.get(name.removeprefix(NOW))
        if danger is None:
            raise AnswerError("unknown question", f"This tool knows no danger called '{name}'.")
        return ask_now(Standing(danger, "", "", -1))

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the danger by its name, and whether what it asks for was done."""
        danger = state.book.dangers.get(name.removeprefix(NOW))
        done = "that is done" if value == "done" else "it cannot be done" if value == "cannot" else value
        return f"{danger.name if danger else name}:", done
