"""A book as its author wants it judged: every problem drawn, then what the book holds."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

from coldiron.drawing import TextOf, draw_all
from coldiron.language.files import rule_files, shipped
from coldiron.language.load import load
from coldiron.problem import Problem


def report(path: Path | None = None) -> str:
    """Return the problems of a book, drawn, and how many entries of each sort it has."""
    book, problems = load(path)
    errors = sum(problem.weight == "error" for problem in problems)
    counts = ", ".join(f"{len(getattr(book, entry.name))} {entry.name}" for entry in fields(book) if entry.name != "hash")
    ending = f"{errors} errors, {len(problems) - errors} warnings\n{counts}"
    return "\n\n".join(filter(None, (drawn(path, problems), ending)))


def drawn(path: Path | None, problems: tuple[Problem, ...]) -> str:
    """Return the problems of a book, drawn with their excerpts."""
    return draw_all(problems, texts(path))


def texts(path: Path | None = None) -> TextOf:
    """Return what gives the text of a rule file of a book by the name problems call it."""
    files, _ = rule_files(str(path or shipped()))
    known = {file.shown: file.data.decode("utf-8-sig", "replace") for file in files}
    return known.get
