"""Faults that leak to where nothing is: to a point that a machine with such a part lacks, or back to the same point."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import Site, sites
from coldiron.book.book import Book
from coldiron.book.faults import Leaks
from coldiron.book.machines import Part
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.mistakes import mistake


def leaks(book: Book) -> tuple[Problem, ...]:
    """Report each leak of a fault that changes nothing on some circuit, where it does so first."""
    found: dict[Place, Problem] = {}
    for site in sites(book):
        for part, fault, effect in _leaking(book, site):
            to = part.joins.get(effect.to) or (effect.to if effect.to in site.points else "")
            if to in ("", part.joins.get(effect.end)):
                kind, name = "leak-to-itself" if to else "leak-nowhere", f"{part.id}.{fault}"
                problem = mistake(kind, effect.place, word=name, circuit=site.circuit.id, to=effect.to)
                found.setdefault(effect.place, problem)
    return tuple(found.values())


def _leaking(book: Book, site: Site) -> Iterator[tuple[Part, str, Leaks]]:
    """Yield the leaks that parts of a circuit can have there, with the part and the fault."""
    for part in site.parts.values():
        for fault in book.kinds[part.kind].faults:
            if site.circuit.odds.get(f"{part.id}.{fault.id}", fault.odds) > 0:
                yield from ((part, fault.id, effect) for effect in fault.effects if isinstance(effect, Leaks))
