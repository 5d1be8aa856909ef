"""What the commands that work a job share: the book they use, and the screen they work it on."""

from __future__ import annotations

import os

from coldiron import books, terminal
from coldiron.cli.exits import ANSWERS, DONE
from coldiron.consult.session import Consultation
from coldiron.plaintext import one_line
from coldiron.screens.driver import JobDriver
from coldiron.screens.saving import KeptCards, SavedJob, begun, earlier_circuit, earlier_notes, kept_as, new_job
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    from pathlib import Path

    from coldiron.book.book import Book
    from coldiron.screens.lines import Driver, End, Save


def book_to_use(path: Path | None) -> Book | None:
    """The book of a folder, or the shipped one; none if it has errors, which are told on stderr."""
    book, _ = books.load(path, _say_building)
    if not (book.broken or book.aside):
        return book
    from coldiron.checkup import left_out, report

    if not book.broken:
        tell(f"{left_out(book.aside)}\nTo see the mistakes: coldiron book check\n", error=True)
        return book
    tell(report(path), error=True)
    own = books.folders_of(path)[1]
    if own:
        tell(f"\nYour own rules are in {one_line(own, 600)}.\nTo work without them, add: --book shipped", error=True)
    return None


def fresh_job(name: str, book: Book, path: Path | None) -> tuple[SavedJob, JobDriver]:
    """A job that begins, with what is known of a machine of that name, and its driver.

    Args:
        name: of the machine; may be empty.
        book: the job's.
        path: where the book is from; None for the shipped one.
    """
    job = new_job(name, book, path)
    steps, told = begun(name, book)
    told = (*map(_not_used, book.aside), *told)
    consultation = Consultation(book, steps, "" if steps else earlier_circuit(name, book))
    earlier, keeps = earlier_notes(name), kept_as(name)
    return job, JobDriver(job.title, consultation, said=told, earlier=earlier, keeps=keeps, cards=KeptCards(book))


def _not_used(file: str) -> str:
    return f"NOT USED, for its mistakes: your rule file {file.partition('/')[2]}. To see them: coldiron book check"


def run_job(driver: JobDriver, save: Save, *, plain: bool) -> int:
    """Work a job in plain lines or on the terminal, and return the exit code."""
    return _ended(run_screen(driver, save, plain=plain))


def run_screen(driver: Driver, save: Save, *, plain: bool) -> End:
    """Run whatever is asked of a person, in plain lines or on the terminal."""
    if plain or not terminal.is_one() or os.environ.get("TERM") == "dumb":
        from coldiron.screens import plain as screen
    else:
        from coldiron.screens import opening as screen  # type: ignore[no-redef]
    return screen.run(driver, save)


def _ended(end: End) -> int:
    over = isinstance(end.driver, JobDriver) and end.driver.consultation.state.handed_back
    if end.how == "ended" and not over:
        answered = isinstance(end.driver, JobDriver) and end.driver.committed
        kept = " Your answers are kept. To go on: coldiron resume" if answered else ""
        tell(f"The input has ended. Give one answer a line: a word, a number or a reading.{kept}")
        return ANSWERS
    return DONE


def _say_building() -> None:
    """Say why nothing is to be seen yet, to a person who is looking."""
    if terminal.errors_are_seen():
        tell("Reading the rule files takes a few seconds. They are kept until one changes.", error=True)
