"""Two things on one machine that a mechanic could not tell apart by name."""

from __future__ import annotations

from coldiron.audit.sites import sites
from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def names(book: Book) -> tuple[Problem, ...]:
    """Report parts of one circuit, points and duties of the book that share a name."""
    found: dict[tuple[str, str], Problem] = {}
    for site in sites(book):
        _collect(found, [(part.id, part.name, part) for part in site.parts.values()])
    _collect(found, [(point.id, point.name, point) for point in book.points.values()])
    _collect(found, [(duty.id, duty.name, duty) for duty in book.duties.values()])
    return tuple(found.values())


def _collect(found: dict[tuple[str, str], Problem], entries: list[tuple[str, str, object]]) -> None:
    first: dict[str, tuple[str, object]] = {}
    for id_, name, entry in entries:
        other, holder = first.setdefault(name, (id_, entry))
        if other != id_:
            note = (("the other", holder.place),)  # type: ignore[attr-defined]
            problem = mistake("same-name", entry.place, one=id_, other=other, name=name, related=note)  # type: ignore[attr-defined]
            found.setdefault((other, id_), problem)
