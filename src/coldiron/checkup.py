"""A book as its author wants it judged: every problem drawn, then what the book holds."""

from __future__ import annotations

import os

from coldiron.audit import audit
from coldiron.drawing import TextOf, draw_all
from coldiron.language.files import rule_files, shipped
from coldiron.language.load import load
from coldiron.model import Book
from coldiron.problem import Problem


def report(path: str | os.PathLike[str] | None = None) -> str:
    """Return the problems of a book, drawn, and how many entries of each sort it has."""
    book, problems = judged(path)
    errors = sum(problem.weight == "error" for problem in problems)
    counts = ", ".join(f"{len(getattr(book, name))} {name}" for name in Book.__match_args__ if name != "hash")
    ending = f"{errors} errors, {len(problems) - errors} warnings\n{counts}"
    return "\n\n".join(filter(None, (draw_all(problems, texts(path)), ending)))


def judged(path: str | os.PathLike[str] | None = None) -> tuple[Book, tuple[Problem, ...]]:
    """Return a book and its problems; one without errors is audited as a whole too."""
    book, problems = load(path)
    if any(problem.weight == "error" for problem in problems):
        return book, problems
    return book, (*problems, *audit(book))


def texts(path: str | os.PathLike[str] | None = None) -> TextOf:
    """Return what gives the text of a rule file of a book by the name problems call it."""
    files, _ = rule_files(os.fspath(path or shipped()))
    known = {file.shown: file.data.decode("utf-8-sig", "replace") for file in files}
    return known.get
