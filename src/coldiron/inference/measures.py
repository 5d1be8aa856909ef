"""Metered weighed on one machine: a ruler for every check that is measured, made when it is first needed."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Protocol

from coldiron.book.checks import UNITS
from coldiron.circuits.bands import Scale, scale
from coldiron.circuits.machine import Machine
from coldiron.inference.evidence import Metered
from coldiron.inference.ruler import Ruler, ruler

SOUND: frozenset[str] = frozenset()


class Solved(Protocol):
    """The solved checks of a machine."""

    def values(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        """What a check reads: one value, or one for each severity that the faults may have, equally likely."""
        ...

    def chances(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        """Chance of each finding in the order of the book, then of `odd`, if nothing is misread."""
        ...

    def levels(self, check: str, faults: frozenset[str]) -> tuple[tuple[float, ...], ...]:
        """The same for each level of severity that the faults may have, equally likely."""
        ...

    def at_once(self, check: str) -> Hashable:
        """The same for checks that are solved together."""
        ...


class Measures:
    """What figures are worth on a machine, by what was solved for it."""

    def __init__(self, machine: Machine, solved: Solved) -> None:
        self._machine = machine
        self._solved = solved
        checks = machine.book.checks
        self._measured = {check for check in machine.checks if checks[check].reads.quantity in UNITS}
        self._scales: dict[str, Scale] = {}
        self._rulers: dict[str, Ruler] = {}
        self._known: dict[tuple[str, Metered, tuple[float, ...]], tuple[float, ...]] = {}

    def has(self, check: str) -> bool:
        """Whether a check is measured with a meter."""
        return check in self._measured

    def by_size(self, check: str, faults: frozenset[str], figures: Metered) -> tuple[float, ...]:
        """How likely figures are at each size of these faults."""
        solved = self._solved.values(check, faults)
        key = check, figures, solved
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._ruler(check).told(figures.values, solved)
        return known

    def in_bands(self, check: str, row: Sequence[float], figures: Metered) -> float:
        """How likely they are where only the chance of each finding is known, `odd` last."""
        measure = self._ruler(check)
        bands = self._scale(check).bands
        by_finding = [[(low, high) for number, low, high in bands if number == place] for place in range(len(row) - 1)]
        return measure.spread(figures.values, [*zip(row[:-1], by_finding, strict=True)], row[-1])

    def astray(self, check: str, figures: Metered) -> float:
        """How likely they are where nothing is known."""
        return self._ruler(check).spread(figures.values, (), 1.0)

    def usual(self, check: str, faults: frozenset[str]) -> tuple[Metered, ...]:
        """What these faults would show, equally likely."""
        return tuple([Metered((value,)) for value in self._solved.values(check, faults)])

    def _scale(self, check: str) -> Scale:
        if check not in self._scales:
            self._scales[check] = scale(self._machine.book.checks[check], self._machine.volts, self._machine.batteries)
        return self._scales[check]

    def _ruler(self, check: str) -> Ruler:
        if check not in self._rulers:
            record = self._machine.book.checks[check]
            good = [finding.id for finding in record.findings].index(record.good)
            sound = self._solved.values(check, SOUND)[0]
            known = self._scale(check)
            even = record.reads.quantity == "volts"
            self._rulers[check] = ruler(known.bands, (known.spread, known.step), good, sound, record.wrong, even=even)
        return self._rulers[check]
