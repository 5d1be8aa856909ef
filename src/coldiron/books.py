"""A book for a job: its rule files read, and looked at as a whole; both are kept between runs.

Every way to a job comes through here, so that a book with an error is never worked with: it says so itself
(`Book.broken`), and a consultation on it is refused (`BookError`).
"""

from __future__ import annotations

import os

from coldiron.folders import home_folder
from coldiron.language import load as text
from coldiron.language.files import layer_files, rule_files, shipped

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from os import PathLike

    from coldiron.book.book import Book
    from coldiron.book.problem import Problem
    from coldiron.language.files import RuleFile

SHIPPED = "shipped"
"""What stands for the shipped book, without a layer, where a folder is named."""


def load(path: str | PathLike[str] | None = None, building: Callable[[], None] | None = None) -> text.Loaded:
    """Return the book of a folder (or of one file) and every problem of its text and of it as a whole.

    Args:
        path: of the folder or file; without it, the shipped book with the shop's layer, see `folders_of`.
        building: called before files are parsed, which takes seconds; not for a book that is in the cache.
    """
    root, own = folders_of(path)
    return text.load(root, building, whole, own)


def folders_of(path: str | PathLike[str] | None = None) -> tuple[str, str]:
    """Return the folder of a book and that of the shop's own layer on it, empty for none.

    Without a path it is the shipped book with the shop's layer: the folder that `COLDIRON_BOOK` names, or else `rules`
    in the folder of the user's jobs, if it is there. A book that is named has no layer. `shipped` names the shipped
    book alone, where no file is called so.
    """
    if path is not None:
        root = os.fspath(path)
        return (shipped(), "") if root == SHIPPED and not os.path.exists(root) else (root, "")
    named = os.environ.get("COLDIRON_BOOK", "")
    usual = os.path.join(home_folder(), "rules")
    return shipped(), named or (usual if os.path.isdir(usual) else "")


def files_of(path: str | PathLike[str] | None = None) -> dict[RuleFile, str]:
    """Return the rule files of a book and of the layer on it, each with its place on the disk."""
    root, own = folders_of(path)
    base = root if os.path.isdir(root) else os.path.dirname(root)
    found = {file: os.path.join(base, file.name) for file in rule_files(root)[0]}
    return found | {file: os.path.join(own, file.name.partition("/")[2]) for file in layer_files(own)[0]}


def of_files(files: Iterable[RuleFile]) -> text.Loaded:
    """Return the book of files that are at hand, and every problem of it; it is kept between runs like any other."""
    return text.of_files(files, whole)


def whole(book: Book) -> tuple[Problem, ...]:
    """Return what is wrong with a book as a whole."""
    from coldiron.audit import audit  # noqa: PLC0415 - a book that is in the cache was judged before

    return audit(book)
