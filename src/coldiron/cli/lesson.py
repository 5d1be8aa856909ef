"""`coldiron lesson`: a lesson on a live circuit, and its drills."""

from __future__ import annotations

from functools import partial

from coldiron.cli.arguments import add_common, job_number
from coldiron.cli.exits import BOOK, DONE, USAGE
from coldiron.cli.working import book_to_use, run_screen
from coldiron.drill.driver import DrillDriver, opened
from coldiron.drill.kept import DrillFile
from coldiron.drill.review import score_of
from coldiron.drill.yard import world_with
from coldiron.lessons.driver import LessonDriver
from coldiron.lessons.lesson import Lesson, lesson
from coldiron.map.sketch import sketch
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container

    from coldiron.book.book import Book
    from coldiron.lessons.driver import Practice
    from coldiron.screens.lines import Driver


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("number", nargs="?", type=job_number, default=1, help="which lesson; the first if left out")
    parser.add_argument("drill", nargs="?", type=job_number, help="go straight to this drill of the lesson")
    add_common(parser)
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    found = lesson(given.number)
    if found is None or (given.drill is not None and not 1 <= given.drill <= len(found.drills)):
        tell("There is no such lesson or drill. Type: coldiron lesson 1", error=True)
        return USAGE
    if found.circuit not in book.circuits:
        tell(f"This lesson needs the machine {found.circuit}, and your rules have none.", error=True)
        return USAGE
    kept = DrillFile(given.drill or 1, found.circuit, book.hash, given.number)
    practice = partial(_practice, book, found, given.number)
    first = practice(given.drill) if given.drill else _begun(book, found, practice)
    end = run_screen(first, kept.save, plain=given.plain)
    if isinstance(end.driver, DrillDriver) and end.driver.play.over:
        kept.close(score_of(end.driver.play), end.driver.play)
    return DONE


def _begun(book: Book, found: Lesson, practice: Practice) -> Driver:
    machine = world_with(book, found.circuit, found.drills[0], 1).machine
    return LessonDriver(found, machine, sketch(machine), practice)


def _practice(book: Book, found: Lesson, lesson_number: int, number: int) -> DrillDriver:
    world = world_with(book, found.circuit, found.drills[number - 1], number)
    return opened(f"Drill {number}: {found.title}", world, f"coldiron lesson {lesson_number} {number}")
