"""`coldiron drill`: practice on a machine with a hidden fault."""

from __future__ import annotations

import io
import random

from coldiron.bounded import UnreadableError, text_of
from coldiron.cli.arguments import add_common, job_number, name, path
from coldiron.cli.exits import BOOK, DONE, USAGE
from coldiron.cli.working import book_to_use, run_screen
from coldiron.drill.driver import DrillDriver, opened
from coldiron.drill.kept import DrillFile, progress
from coldiron.drill.machines import machine_named
from coldiron.drill.recorded import recorded
from coldiron.drill.review import score_of
from coldiron.drill.yard import NothingToFindError, world_of
from coldiron.plaintext import one_line
from coldiron.screens.plain import run
from coldiron.screens.replay import keep_nothing
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container
    from pathlib import Path

    from coldiron.book.book import Book

MOST_SEED = 9999
"""The largest seed that is drawn: short enough to be told to another."""


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("--seed", type=job_number, metavar="N", help="the machine of this number, the same every time")
    parser.add_argument("--machine", type=name, default="", metavar="CARD", help="one of your machines, by its card")
    parser.add_argument("--replay", type=path, metavar="FILE", help="replay a recorded drill; nothing is kept")
    parser.add_argument("--progress", action="store_true", help="what your drills came to so far")
    add_common(parser)
    parser.set_defaults(run=_run)


def _replayed(book: Book, file: Path) -> int:
    """Play a recorded drill again; the output is the recording without its header."""
    try:
        seed, lines = recorded(text_of(file))
    except (UnreadableError, ValueError) as error:
        tell(one_line(str(error), 600), error=True)
        return USAGE
    run(opened(f"Drill {seed}", world_of(book, seed)), keep_nothing, io.StringIO(lines))
    return DONE


def _run(given: argparse.Namespace) -> int:
    if given.progress:
        tell("\n".join(progress()))
        return DONE
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    if given.replay:
        return _replayed(book, given.replay)
    circuit = machine_named(book, given.machine) if given.machine else ""
    if given.machine and not circuit:
        tell("No card of that name tells what the machine is. To see the cards: coldiron machine", error=True)
        return USAGE
    seed = given.seed if given.seed is not None else random.randint(1, MOST_SEED)  # noqa: S311 - no secret
    try:
        world = world_of(book, seed, circuit)
    except NothingToFindError:
        tell("No fault of that machine shows, so there is nothing to find on it.", error=True)
        return USAGE
    kept = DrillFile(seed, world.machine.circuit.id, book.hash)
    again = f'coldiron drill --seed {seed} --machine "{given.machine}"' if circuit else ""
    end = run_screen(opened(f"Drill {seed}", world, again), kept.save, plain=given.plain)
    if isinstance(end.driver, DrillDriver) and end.driver.play.over:
        kept.close(score_of(end.driver.play), end.driver.play)
    return DONE
