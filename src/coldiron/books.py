"""A book for a job: its rule files read, and looked at as a whole; both are kept between runs.

Every way to a job comes through here, so that a book with an error is never worked with: it says so itself
(`Book.broken`), and a consultation on it is refused (`BookError`).
"""

from __future__ import annotations

from coldiron.language import load as text

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from os import PathLike

    from coldiron.book.book import Book
    from coldiron.book.problem import Problem
    from coldiron.language.files import RuleFile


def load(path: str | PathLike[str] | None = None, building: Callable[[], None] | None = None) -> text.Loaded:
    """Return the book of a folder (or of one file) and every problem of its text and of it as a whole.

    Args:
        path: of the folder or file; without it, the shipped book.
        building: called before files are parsed, which takes seconds; not for a book that is in the cache.
    """
    return text.load(path, building, whole)


def of_files(files: Iterable[RuleFile]) -> text.Loaded:
    """Return the book of files that are at hand, and every problem of it; it is kept between runs like any other."""
    return text.of_files(files, whole)


def whole(book: Book) -> tuple[Problem, ...]:
    """Return what is wrong with a book as a whole."""
    from coldiron.audit import audit  # noqa: PLC0415 - a book that is in the cache was judged before

    return audit(book)
