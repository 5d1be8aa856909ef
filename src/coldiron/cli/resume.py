"""`coldiron resume`: go on with a parked job."""

from __future__ import annotations

from coldiron.cli.arguments import add_common, job_number
from coldiron.cli.exits import BOOK
from coldiron.cli.working import book_to_use, run_job
from coldiron.screens.resuming import old_job

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("job", nargs="?", type=job_number, help="number of the job; the latest if left out")
    parser.add_argument("--newer", action="store_true", help="go on with today's book")
    parser.add_argument("--sound", action="store_true", help="go on with the undamaged part of a damaged job")
    add_common(parser)
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    job, driver = old_job(given.job, book, given.book, newer=given.newer, sound=given.sound)
    return run_job(driver, job.save, plain=given.plain)
