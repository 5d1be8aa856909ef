"""One step at the machine: a reading between any two points or one of the book's checks, and what it asks of hands."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.book import Book
from coldiron.book.checks import Check, Quantity, Reads
from coldiron.circuits.machine import Machine
from coldiron.record import dataclass

MINUTES = 1.0
"""Minutes to read between two points that lie open: common practice, no source; more where the book has a check."""


@dataclass(frozen=True, slots=True)
class Probe:
    """A step at the machine.

    `check` is the check of the book that does just this, empty where there is none. `state` are the settings in which
    it is done, `areas` what has to be open for it.
    """

    reads: Reads
    state: Mapping[str, str]
    check: str = ""
    minutes: float = MINUTES
    areas: tuple[str, ...] = ()

    @property
    def loaded(self) -> bool:
        """Whether current flows while it is read: something is held on, or the lamp itself draws."""
        return self.reads.quantity in ("lamp", "amps", "glow", "turn", "click") or self.state.get("key") == "start"


@dataclass(frozen=True, slots=True)
class Costs:
    """What steps cost from where a drill stands, by the areas that are open."""

    opened: frozenset[str]

    def minutes(self, book: Book, probe: Probe) -> float:
        """Minutes of a step: its own, covers not opened yet, and settings it needs that are not normal."""
        covers = sum(book.areas[name].minutes for name in set(probe.areas) - self.opened if name in book.areas)
        settings = sum(book.settings[name].minutes for name in probe.state if name in book.settings)
        return probe.minutes + covers + settings


def of_check(check: Check) -> Probe:
    """The step that a check of the book is."""
    return Probe(check.reads, check.state, check.id, check.minutes, (check.area,))


def between(machine: Machine, quantity: Quantity, red: str, black: str, state: Mapping[str, str]) -> Probe:
    """A reading between two points of the machine; it is the book's own check where one does just this."""
    book = machine.book
    away = _away(book, state)
    for name in machine.checks:
        check = book.checks[name]
        at = machine.point(check.reads.a), machine.point(check.reads.b)
        if check.reads.quantity == quantity and at == (red, black) and _away(book, check.state) == away:
            return of_check(check)
    areas = tuple(dict.fromkeys((book.points[red].area, book.points[black].area)))
    return Probe(Reads(quantity, red, black), away, "", MINUTES, areas)


def _away(book: Book, state: Mapping[str, str]) -> dict[str, str]:
    """The settings that are not normal."""
    return {name: value for name, value in state.items() if value != book.settings[name].normal}


def in_words(book: Book, probe: Probe) -> str:
    """A step as it is named to a person."""
    if probe.check and not {probe.reads.a, probe.reads.b} <= book.points.keys():
        return book.checks[probe.check].ask.rstrip(".?")
    red, black = (book.points[name].name.partition(" (")[0] for name in (probe.reads.a, probe.reads.b))
    away = _away(book, probe.state)
    held = ", ".join(f"{book.settings[name].name} {value}" for name, value in away.items())
    what = {"lamp": "Test light", "volts": "Volts", "ohms": "Ohms"}[probe.reads.quantity]
    return f"{what}, {red} to {black}{f', {held}' if held else ''}"
