"""`coldiron report`: the sheet of a job to print, or the tag to hang on its machine."""

from __future__ import annotations

from coldiron.cli.arguments import add_book, job_number, path
from coldiron.cli.exits import BOOK, DONE, STORE
from coldiron.cli.working import book_to_use
from coldiron.paper import html
from coldiron.paper.kept_job import kept_job
from coldiron.paper.letterhead import FILE, letterhead
from coldiron.paper.sheet import sheet_of
from coldiron.plaintext import one_line
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container
    from pathlib import Path


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("job", nargs="?", type=job_number, help="number of the job; the latest if left out")
    parser.add_argument(
        "--for",
        dest="reader",
        choices=("owner", "shop", "apprentice"),
        default="shop",
        help="owner: what it comes to, in plain words; shop: the record too; apprentice: why each check was made",
    )
    parser.add_argument("--tag", action="store_true", help="the tag to print and hang on the machine, instead")
    parser.add_argument("--out", type=path, metavar="FILE", help="where to write it; else in this folder")
    add_book(parser)
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    book = book_to_use(given.book)
    if book is None:
        return BOOK
    head, wrong = letterhead()
    if wrong:
        tell(f"The sheet has no head. {one_line(wrong, 600)} It is {FILE} in the folder of your jobs.", error=True)
    sheet = sheet_of(*kept_job(given.job, book), given.reader, head)
    text = html.tag(sheet) if given.tag else html.report(sheet)
    named = "tag" if given.tag else "job"
    return _written(given.out or path(f"coldiron-{named}-{sheet.number}.html"), text)


def _written(file: Path, text: str) -> int:
    """Write a file, and say where it is or why it cannot be had."""
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        tell(f"{one_line(str(file), 600)} cannot be written: {one_line(error.strerror or str(error))}.", error=True)
        return STORE
    tell(f"Written: {one_line(str(file), 600)}. Open it in a browser and print it.")
    return DONE
