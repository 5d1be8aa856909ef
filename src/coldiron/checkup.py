"""A book as its author wants it judged: every problem drawn, then what the book holds."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from coldiron import books
from coldiron.book.book import NO_MAPPINGS, Book
from coldiron.book.problem import Problem, errors
from coldiron.book.source import Place
from coldiron.drawing import draw_all
from coldiron.record import replace


def report(path: str | os.PathLike[str] | None = None) -> str:
    """Return the problems of a book, drawn, and how many entries of each sort it has."""
    book, problems = judged(path)
    wrong = len(errors(problems))
    names = [name for name in Book.__match_args__ if name not in NO_MAPPINGS]
    counts = ", ".join(f"{len(getattr(book, name))} {name}" for name in names)
    ending = f"{wrong} errors, {len(problems) - wrong} warnings\n{counts}"
    return "\n\n".join(filter(None, (drawn(problems, path), left_out(book.aside), ending)))


def left_out(aside: tuple[str, ...]) -> str:
    """Return what there is to say of files of the shop's own that are set aside; empty for none."""
    if not aside:
        return ""
    one = len(aside) == 1
    head = (
        "NOT USED: a file of your own rules has mistakes."
        if one
        else "NOT USED: files of your own rules have mistakes."
    )
    files = [f"  {name.partition('/')[2]}" for name in aside]
    return "\n".join((head, *files, f"Nothing in {'it' if one else 'them'} counts. All your other rules do."))


def judged(path: str | os.PathLike[str] | None = None) -> tuple[Book, tuple[Problem, ...]]:
    """Return a book and its problems; one without errors of its text is audited as a whole too."""
    return books.load(path)


def drawn(problems: Iterable[Problem], path: str | os.PathLike[str] | None = None) -> str:
    """Return problems of a book drawn, errors first, each file named so that it opens from where one stands."""
    files = books.files_of(path)
    names = {file.shown: _from_here(Path(there)) for file, there in files.items()}
    known = {names[file.shown]: file.data.decode("utf-8-sig", "replace") for file in files}

    def here(place: Place) -> Place:
        return replace(place, file=names.get(place.file, place.file))

    moved = [
        replace(one, place=here(one.place), related=tuple((note, here(place)) for note, place in one.related))
        for one in problems
    ]
    return draw_all(moved, known.get)


def _from_here(path: Path) -> str:
    """Return a path as short as it can be typed: below the folder one stands in without that folder."""
    whole, here = path.absolute(), Path.cwd()
    return str(whole.relative_to(here) if whole.is_relative_to(here) else path)
