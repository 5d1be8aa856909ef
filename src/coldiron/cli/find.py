"""`coldiron find`: begin a job, watch a recorded one, or answer from a file."""

from __future__ import annotations

from coldiron.cli.arguments import add_common, name, path
from coldiron.cli.exits import BOOK
from coldiron.cli.working import book_to_use, fresh_job, run_job

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container

    from coldiron.book.book import Book


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("name", nargs="?", type=name, default="", help="what to call the job: machine, yard, owner")
    source = parser.add_mutually_exclusive_group()
    source.add_argument("--demo", action="store_true", help="watch a recorded job in an invented yard")
    source.add_argument("--replay", type=path, metavar="FILE", help="replay a recorded job; nothing is saved")
    source.add_argument(
        "--answers", type=path, metavar="FILE", help="answer from a file of JSON lines; nothing is saved"
    )
    parser.add_argument("--json", action="store_true", help="write events as JSON lines (with --answers)")
    add_common(parser)
    parser.set_defaults(run=lambda given: _run(given, parser))


def _run(given: argparse.Namespace, parser: argparse.ArgumentParser) -> int:
    if given.json and not given.answers:
        parser.error("--json writes the events of a script: give one with --answers FILE")
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    if given.answers:
        from coldiron.cli.scripted import run_script

        return run_script(book, given.answers, given.name, as_json=given.json)
    if given.demo or given.replay:
        from coldiron.screens import replay

        return replay.replay(book, given.replay) if given.replay else replay.demo(book)
    return _begin(given, book)


def _begin(given: argparse.Namespace, book: Book) -> int:
    job, driver = fresh_job(given.name, book, given.book)
    return run_job(driver, job.save, plain=given.plain)
