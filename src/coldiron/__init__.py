"""coldiron: from a dead machine to a proven cause.

>>> from coldiron import Consultation, load_book
>>> book, problems = load_book()
>>> c = Consultation(book)
>>> c.next.id  # how the machine stands
'raised'
>>> c = c.answer("raised", "none").answer("usual", "small tractor")
>>> c.next.id  # what it does
'complaint'

`load_book` gives the book and its problems, those of the book as a whole included; one with an error among them is not
worked with: `Consultation` raises `BookError`, which names the place. Of the shop's own layer a file is left out for
its errors where no caution is lost with it, and `book.aside` names it. `Consultation` is one job on one machine, an
immutable value. Answers that cannot be taken raise `AnswerError`, which changes nothing. Everything else in the package
is the inside. It is imported when it is first asked for: the command line, which begins here too, has to guard it.
"""

from __future__ import annotations

TYPE_CHECKING = False

if TYPE_CHECKING:
    from pathlib import Path

    from coldiron.book.book import Book
    from coldiron.book.problem import Problem
    from coldiron.consult.session import Consultation
    from coldiron.job.question import BookError, Question
    from coldiron.readings.refusal import AnswerError
    from coldiron.version import __version__

HOMES = {
    "AnswerError": "coldiron.readings.refusal",
    "BookError": "coldiron.job.question",
    "Consultation": "coldiron.consult.session",
    "Question": "coldiron.job.question",
    "__version__": "coldiron.version",
}
"""Where the names of this package lie."""

__all__ = ["AnswerError", "BookError", "Consultation", "Question", "__version__", "load_book"]


def load_book(path: Path | str | None = None) -> tuple[Book, tuple[Problem, ...]]:
    """The book in a folder of rule files (or in one file), and everything that is wrong in them or with it as a whole.

    A path that is not there and a folder without rules are problems too; each has a place. Nothing is raised for what
    stands in the files, or for files that cannot be read.

    Args:
        path: the folder; the shipped book with the shop's own layer if left out.
    """
    from coldiron import books  # noqa: PLC0415 - the package itself needs no files

    return books.load(path if path != "" else ".")


def __getattr__(name: str) -> object:
    """The names of this package that lie further inside."""
    if name not in HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module  # noqa: PLC0415 - nothing is imported before Ctrl-C is guarded

    return getattr(import_module(HOMES[name]), name)
