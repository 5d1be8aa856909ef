"""A machine: the sections of one circuit joined at points of the same name, with all faults and checks it can have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coldiron.book.acts import ACTS
from coldiron.book.book import Book
from coldiron.book.checks import look_at
from coldiron.book.faults import Fault
from coldiron.book.joining import applies, hurt_by, joined, point_named, routes_of
from coldiron.book.machines import Circuit, Kind, Part
from coldiron.book.variants import circuit_named
from coldiron.circuits.feed import Feed, feed_order
from coldiron.record import dataclass, field, replace

REFERENCE = "battery_negative"
"""The point all volts are counted from, unless a check names another."""


@dataclass(frozen=True, slots=True)
class Bundled:
    """An event that may happen at a route of a machine: its odds beside those of the faults, and what it may hurt."""

    fault: Fault
    odds: float
    hurts: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Machine:
    """One sort of machine, ready to be asked about.

    Attributes:
        book: the book it comes from.
        circuit: its circuit.
        volts: 12 or 24.
        batteries: how many batteries stand in series.
        parts: its parts by id, in the order of the sections.
        points: the ids of the points it has, sorted.
        faults: what can be wrong with it by `part.fault`, sorted; faults with odds of 0 on this circuit cannot be.
        odds: share of each fault among the single faults of this machine; they add up to 1.
        checks: ids of the checks that can be made on it, in the order of the book.
        upstream: for each part, the parts before it, from the source on.
        downstream: for each part, the parts after it, from there to the return.
        routes: the places that several of its wires pass, each with those that do.
        events: what may happen there, by `route.event`; not among its faults.
        looks: the look at each route on which anything may happen, by route; not among its checks.
    """

    book: Book
    circuit: Circuit
    volts: int
    batteries: int
    parts: Mapping[str, Part]
    points: tuple[str, ...]
    faults: Mapping[str, Fault]
    odds: Mapping[str, float]
    checks: tuple[str, ...]
    upstream: Mapping[str, tuple[str, ...]]
    downstream: Mapping[str, tuple[str, ...]]
    routes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    events: Mapping[str, Bundled] = field(default_factory=dict)
    looks: Mapping[str, str] = field(default_factory=dict)

    def kind(self, part: str) -> Kind:
        """The kind of one of its parts."""
        return self.book.kinds[self.parts[part].kind]

    def ends(self, part: str) -> tuple[str, ...]:
        """The names of the ends of one of its parts, in order."""
        return ends_of(self.kind(part))

    def values(self, part: str) -> dict[str, float]:
        """The electrical values of one of its parts: the usual ones of its kind, overridden by its own."""
        return {**self.kind(part).values, **self.parts[part].values}

    def mended_with(self, fault: str) -> tuple[str, ...]:
        """The faults that the repair of one removes: itself, those of its part with the same repair, or all of them.

        A repair that fits a new part leaves none of the old one's faults; two faults whose repair reads the same are
        removed by the same repair. One that is done to both of a pair sees to the other part of the kind as well. That
        of an event sees to all that it may have hurt there.
        """
        if fault in self.events:
            return (fault, *self.events[fault].hurts)
        mended = self.faults[fault]
        kind = self.parts[mended.part].kind
        seen_to = (
            [name for name, part in self.parts.items() if part.kind == kind] if mended.what.both else [mended.part]
        )
        return tuple(
            name
            for name, other in self.faults.items()
            if other.part in seen_to and (mended.what.renews or other.what.repair == mended.what.repair)
        )

    def point(self, name: str) -> str | None:
        """The id of the point meant by `name`, a point or `part.end`; None if the machine has no such place."""
        return point_named(name, self.parts, self.points)


def ends_of(kind: Kind) -> tuple[str, ...]:
    """The names of the ends of a kind: its own if it has two plain ends, else those of the way it acts."""
    return ACTS[kind.acts].ends or kind.ends


def compose(book: Book, circuit_id: str) -> Machine:
    """Join the sections of a circuit.

    Raises:
        ValueError: there is no such circuit, or its sections cannot be joined; the sentence says why. A book without
            problems raises nothing here.
    """
    circuit = circuit_named(book, circuit_id)
    if circuit is None:
        raise ValueError(f"the book has no circuit {circuit_id}")
    parts = joined(book.sections, circuit)
    points = tuple(sorted({point for part in parts.values() for point in part.joins.values()}))
    if REFERENCE not in points:
        raise ValueError(f"circuit {circuit_id} has no point {REFERENCE}")
    weights, faults = _faults(book, circuit, parts)
    whole = sum(weights.values())
    ends = {id_: ends_of(book.kinds[part.kind]) for id_, part in parts.items()}
    feed: Feed = feed_order(parts, book.kinds, ends)
    routes = routes_of(book.routes, parts)
    happen = dict(_events(book, circuit, parts, routes, faults))
    events = {name: replace(one, odds=one.odds / whole) for name, one in happen.items()}
    return Machine(
        book=book,
        circuit=circuit,
        volts=circuit.volts,
        batteries=circuit.batteries,
        parts=parts,
        points=points,
        faults=faults,
        odds={fault: weight / whole for fault, weight in weights.items()},
        checks=tuple(id_ for id_, check in book.checks.items() if applies(check, parts, points)),
        upstream=feed.before,
        downstream=feed.after,
        routes=routes,
        events=events,
        looks={route: look_at(route) for route in dict.fromkeys([one.fault.part for one in events.values()])},
    )


def _events(
    book: Book,
    circuit: Circuit,
    parts: Mapping[str, Part],
    routes: Mapping[str, tuple[str, ...]],
    faults: Mapping[str, Fault],
) -> Iterator[tuple[str, Bundled]]:
    """What may happen at each route and hurt at least one of the wires there, by `route.event`."""
    kinds = {part.id: part.kind for part in parts.values()}
    for route, passing in routes.items():
        for name, odds in book.routes[route].events.items():
            id_ = f"{route}.{name}"
            hurts = {one: chance for one, chance in hurt_by(book.events[name], passing, kinds).items() if one in faults}
            weight = circuit.odds.get(id_, odds)
            if hurts and weight > 0:
                yield id_, Bundled(book.faults[id_], weight, hurts)


def _faults(book: Book, circuit: Circuit, parts: Mapping[str, Part]) -> tuple[dict[str, float], dict[str, Fault]]:
    """Relative odds and records of all faults that can occur, sorted by id."""
    weights: dict[str, float] = {}
    faults: dict[str, Fault] = {}
    for part in parts.values():
        for what in book.kinds[part.kind].faults:
            id_ = f"{part.id}.{what.id}"
            weights[id_] = circuit.odds.get(id_, what.odds)
            faults[id_] = Fault(id_, part.id, part.kind, f"{part.name}: {what.name}", what)
    possible = sorted(id_ for id_, weight in weights.items() if weight > 0)
    return {id_: weights[id_] for id_ in possible}, {id_: faults[id_] for id_ in possible}
