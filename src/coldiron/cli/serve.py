"""`coldiron serve`: a job as pages for a phone."""

from __future__ import annotations

from coldiron.cli.arguments import add_book, job_number, name
from coldiron.cli.exits import BOOK, DONE, USAGE
from coldiron.cli.working import book_to_use, fresh_job
from coldiron.screens.resuming import old_job
from coldiron.terminal import answered, tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container

    from coldiron.book.book import Book
    from coldiron.screens.driver import JobDriver
    from coldiron.screens.saving import SavedJob

PORT = 8347
"""Where it listens if nothing is said; IANA has given it to nobody (from memory)."""

MISSING = "The page needs libraries that are not here. Set it up with: pip install 'coldiron[page]'"

OVERHEARD = """\
Whoever is on this network can overhear what this page says: it is not encrypted.
Only who has the link comes in. The address will be {}.
Open it to the network? Type yes: """


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("job", nargs="?", type=job_number, help="number of the job; the latest if left out")
    parser.add_argument("--new", type=name, metavar="NAME", help="begin a job of this name instead")
    parser.add_argument("--lan", action="store_true", help="for phones on this network; it asks first")
    parser.add_argument("--port", type=job_number, default=PORT, help=f"where it listens; {PORT} if left out")
    add_book(parser)
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    try:
        from coldiron.web import desk, serving
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("coldiron"):
            raise
        tell(MISSING, error=True)
        return USAGE
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    address = serving.lan_address() if given.lan else serving.HERE
    if not address:
        tell("This machine has no private address on a network.", error=True)
        return USAGE
    if given.lan and answered(OVERHEARD.format(address)).lower() not in ("yes", "y"):
        tell("Not opened.")
        return DONE
    try:
        door = serving.listening(address, given.port)
    except (OSError, OverflowError):
        tell(f"Nothing can listen at {address}, port {given.port}. Try another: --port 0", error=True)
        return USAGE

    def ready(link: str) -> None:
        if given.lan:
            tell(serving.picture(link))
        tell(f"Open this link on the phone: {link}" if given.lan else f"Open this link in a browser: {link}")
        tell("It serves once, for ten minutes. The page lets another phone in. To close it: Ctrl-C")

    serving.serve(door, lambda: desk.Desk(desk.KeptJob(*_opened(given, book))), ready)
    tell("Closed. All answers are kept. To go on: coldiron resume")
    return DONE


def _opened(given: argparse.Namespace, book: Book) -> tuple[SavedJob, JobDriver]:
    """The job that is worked on the page."""
    if given.new is not None:
        return fresh_job(given.new, book, given.book)
    return old_job(given.job, book, given.book)
