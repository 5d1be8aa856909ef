"""The circuits of a book as the audit sees them: which parts, points, checks and faults each has."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.faults import FaultRef
from coldiron.book.joining import ends_open, in_order, routes_of
from coldiron.book.machines import Circuit, Part
from coldiron.book.variants import WITH, circuit_named
from coldiron.record import dataclass, field


@dataclass(frozen=True)
class Site:
    """One circuit with its parts by id and the points they join.

    `pieces` are its sections with their parts, in order, joined as they are on it. `routes` are the places that several
    of its parts pass, with those that do.
    """

    circuit: Circuit
    parts: Mapping[str, Part]
    points: frozenset[str]
    pieces: tuple[tuple[str, tuple[Part, ...]], ...] = ()
    routes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def has_point(self, name: str) -> bool:
        """Whether it has a point, or the end of a part."""
        part, dot, end = name.partition(".")
        return (part in self.parts and end in self.parts[part].joins) if dot else name in self.points

    def lacks(self, check: Check) -> str:
        """Return the first thing a check needs and this circuit has not; nothing if the check can be made."""
        own = check.id.partition(".")[2]
        for part in (own if check.each else "", check.reads.part):
            if part and part not in self.parts and part not in self.routes:
                return part
        return next((point for point in (check.reads.a, check.reads.b) if point and not self.has_point(point)), "")

    def has_faults(self, faults: FaultRef) -> bool:
        """Whether it has at least one of the parts a reference speaks of."""
        if faults.part:
            return faults.part in self.parts or faults.part in self.routes
        return any(part.kind == faults.kind for part in self.parts.values())


def sites(book: Book) -> tuple[Site, ...]:
    """Return the circuits of a book, and the first that each option makes of those of each voltage."""
    known = (*book.circuits.values(), *_with_options(book))
    return tuple(site_of(book, circuit) for circuit in known if not ends_open(book.sections, circuit))


def _with_options(book: Book) -> Iterator[Circuit]:
    """Yield, for each option and voltage, the first circuit of the book with that option brought in."""
    found: set[tuple[str, int]] = set()
    for circuit in book.circuits.values():
        for option in book.options:
            made = circuit_named(book, f"{circuit.id}{WITH}{option}")
            if made is not None and (option, circuit.volts) not in found:
                found.add((option, circuit.volts))
                yield made


def site_of(book: Book, circuit: Circuit) -> Site:
    """Return one circuit as the audit sees it."""
    pieces = tuple(in_order(book.sections, circuit))
    parts: dict[str, Part] = {}
    for part in (one for _, own in pieces for one in own):
        parts.setdefault(part.id, part)
    points = frozenset(point for part in parts.values() for point in part.joins.values())
    return Site(circuit, parts, points, pieces, routes_of(book.routes, parts))


def points_of(book: Book, name: str) -> Iterator[str]:
    """Yield the point that a probe touches; for the end of a battery all points that it has in any section.

    The end of another part is where that part is: on some machine it may be wired to a post, and still lies elsewhere.
    """
    part, dot, end = name.partition(".")
    if not dot:
        if name:
            yield name
        return
    for section in book.sections.values():
        yield from (one.joins.get(end, "") for one in section.parts if one.id == part and _is_battery(book, one))


def _is_battery(book: Book, part: Part) -> bool:
    return part.kind in book.kinds and book.kinds[part.kind].acts == "battery"


def voltages_of(check: Check, where: Iterable[Site]) -> tuple[int, ...]:
    """Return the voltages of the circuits on which a check can be made, lowest first."""
    return tuple(sorted({site.circuit.volts for site in where if not site.lacks(check)}))


def base(check: str) -> str:
    """Return the id under which a check is written: that of its template, for one made for a part."""
    return check.partition(".")[0]
