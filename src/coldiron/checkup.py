"""A book as its author wants it judged: every problem drawn, then what the book holds."""

from __future__ import annotations

import os

from coldiron import books
from coldiron.book.book import Book
from coldiron.book.problem import Problem, errors
from coldiron.drawing import TextOf, draw_all
from coldiron.language.files import rule_files, shipped


def report(path: str | os.PathLike[str] | None = None) -> str:
    """Return the problems of a book, drawn, and how many entries of each sort it has."""
    book, problems = judged(path)
    wrong = len(errors(problems))
    names = [name for name in Book.__match_args__ if name not in ("hash", "broken")]
    counts = ", ".join(f"{len(getattr(book, name))} {name}" for name in names)
    ending = f"{wrong} errors, {len(problems) - wrong} warnings\n{counts}"
    return "\n\n".join(filter(None, (draw_all(problems, texts(path)), ending)))


def judged(path: str | os.PathLike[str] | None = None) -> tuple[Book, tuple[Problem, ...]]:
    """Return a book and its problems; one without errors of its text is audited as a whole too."""
    return books.load(path)


def texts(path: str | os.PathLike[str] | None = None) -> TextOf:
    """Return what gives the text of a rule file of a book by the name problems call it."""
    files, _ = rule_files(os.fspath(path or shipped()))
    known = {file.shown: file.data.decode("utf-8-sig", "replace") for file in files}
    return known.get
