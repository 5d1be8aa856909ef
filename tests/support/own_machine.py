"""A machine as the mechanic of the tests reads it from the records of a book; no code of the program takes part.

Which parts a circuit has, what can be wrong with them, which checks can be made on them, what a repair mends, what
breaks what, and in which band a reading falls: all of it is worked out here anew from what is declared.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.faults import Fault, FaultRef, Shows
from coldiron.book.machines import Circuit, Kind, Part
from coldiron.book.variants import circuit_named

NO_BAND = "odd"
"""The finding of a reading that is in no band."""

OPEN_LINE = 20e6
"""Ohms from which a meter shows an open line: such a reading is in the band that goes on beyond."""


@dataclass(frozen=True, eq=False)
class OwnMachine:
    """One circuit of a book, put together.

    Attributes:
        book: where it is declared.
        circuit: its id.
    """

    book: Book
    circuit: str

    @property
    def _declared(self) -> Circuit:
        """The circuit, or the variant: what options make of one is not worked out anew here, only what is in it."""
        found = circuit_named(self.book, self.circuit)
        assert found is not None
        return found

    @property
    def volts(self) -> int:
        """12 or 24."""
        return self._declared.volts

    @property
    def batteries(self) -> int:
        """How many stand in series."""
        return self._declared.batteries

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Its parts, by id."""
        sections = [self.book.sections[name] for name in self._declared.sections]
        onward = [*(section.ends[0] for section in sections[1:]), ""]
        joined = {
            section.id: [_moved(part, point) for part in section.parts]
            for section, point in zip(sections, onward, strict=True)
        }
        return {part.id: part for section in reversed(sections) for part in joined[section.id]}

    @cached_property
    def points(self) -> frozenset[str]:
        """Where its parts are joined."""
        return frozenset(point for part in self.parts.values() for point in part.joins.values())

    @cached_property
    def faults(self) -> Mapping[str, Fault]:
        """What can be wrong with it, by id, sorted."""
        return self.possible()

    def possible(self) -> dict[str, Fault]:
        """The faults of its parts; what has no odds on this circuit cannot be."""
        own = self._declared.odds
        known = {name: fault for name, fault in sorted(self.book.faults.items()) if fault.part in self.parts}
        return {name: fault for name, fault in known.items() if own.get(name, fault.what.odds) > 0}

    @cached_property
    def checks(self) -> tuple[str, ...]:
        """The checks that can be made on it: all they name is there."""
        return tuple(name for name, check in self.book.checks.items() if self._has_all(check))

    def _has_all(self, check: Check) -> bool:
        parts = [check.reads.part] if check.reads.part else []
        if check.each:
            parts.append(check.id.split(".", 1)[-1])
        places = [name for name in (check.reads.a, check.reads.b) if name]
        return all(part in self.parts for part in parts) and all(self.point(place) for place in places)

    def point(self, name: str) -> str | None:
        """The point that a name means: its own, or that of an end of a part; None where there is none."""
        if "." in name:
            part, end = name.split(".", 1)
            return self.parts[part].joins.get(end) if part in self.parts else None
        return name if name in self.points else None

    def kind(self, part: str) -> Kind:
        """What sort of part one is."""
        return self.book.kinds[self.parts[part].kind]

    def values(self, part: str) -> dict[str, float]:
        """Its electrical values: those of its kind, but for what is said of itself."""
        return dict(self.kind(part).values) | dict(self.parts[part].values)

    def mended_with(self, fault: str) -> frozenset[str]:
        """What the repair of a fault mends: of its part all if it is a new one, else what reads the same.

        A battery of a pair is not charged or renewed alone: the same is done to the other.
        """
        done = self.book.faults[fault]
        mended = set()
        for name, other in self.faults.items():
            near = other.part == done.part or (done.what.both and self.kind(other.part) is self.kind(done.part))
            if near and (done.what.renews or other.what.repair == done.what.repair):
                mended.add(name)
        return frozenset(mended)

    def lines(self, check: Check, fault: str) -> list[Shows]:
        """What a fault is declared to show on a check, or on that of its own part."""
        record = self.book.faults[fault]
        return [line for line in record.what.shows if check.id in (line.check, f"{line.check}.{record.part}")]

    def links(self) -> Iterator[tuple[str, str, float]]:
        """Cause, victim and how often the one brings the other, by the chains of the book."""
        for chain in self.book.chains.values():
            for cause in self._meant(chain.cause):
                for one in chain.victims:
                    yield from ((cause, name, one.chance) for name in self._meant(one.faults) if name != cause)

    def _meant(self, ref: FaultRef) -> list[str]:
        mine = [(name, fault) for name, fault in self.faults.items() if ref.fault in ("", fault.what.id)]
        return [name for name, fault in mine if (ref.kind == fault.kind if ref.kind else ref.part == fault.part)]

    def finding(self, check: Check, value: float) -> str:
        """The finding whose band a value is in."""
        for name, low, high in self.bands(check):
            if low <= value < high or (value == inf and high > OPEN_LINE):
                return name
        return NO_BAND

    def bands(self, check: Check) -> Iterator[tuple[str, float, float]]:
        """Each band of a check that speaks of such a machine: finding, low and high bound."""
        for finding in check.findings:
            for band in finding.bands:
                if band.volts in (0, self.volts):
                    times = self.batteries if band.per_battery else 1
                    yield finding.id, band.low * times, band.high * times

    def nearest(self, check: Check, value: float) -> str:
        """The finding whose band a value is in, or comes nearest to."""
        away = [(max(low - value, value - high, 0.0), name) for name, low, high in self.bands(check)]
        found = self.finding(check, value)
        return found if found != NO_BAND else min(away, key=lambda one: one[0])[1]


def _moved(part: Part, point: str) -> Part:
    """A part whose ends at `next` meet the point where the section behind begins."""
    return replace(part, joins={end: point if at == "next" else at for end, at in part.joins.items()})
