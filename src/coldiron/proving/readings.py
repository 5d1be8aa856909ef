"""Figures of worked cases that lie in a band, and yet are none that a machine gives at any size of its fault."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import hypot, inf, isinf

from coldiron.book.checks import ODD, OPEN_LINE, UNITS
from coldiron.book.problem import Problem
from coldiron.proving.given import GivenReading, epochs
from coldiron.proving.words import figure, named
from coldiron.proving.yard import Faults, SolvedMachine, Yard
from coldiron.record import dataclass

DEVIATIONS = 3.0
"""A reading may lie so many deviations of its check (spread of sound parts and meter) beyond the solved ones."""

LEAST = 1e-9
"""The deviation of a check that gives none."""


@dataclass(frozen=True, slots=True)
class _Nearest:
    """The faults that leave fewest readings unexplained, those readings, and by how many deviations they are off."""

    faults: Faults
    missed: tuple[GivenReading, ...]
    off: float


def readings(yard: Yard) -> tuple[Problem, ...]:
    """Report each reading of a case that lies outside what the machine nearest to all of them can show."""
    found: list[Problem] = []
    for case in yard.book.cases.values():
        solved = yard.by_circuit.get(case.circuit)
        for _, taken in epochs(solved, case) if solved else ():
            figures = [one for one in taken if one.figure is not None and one.finding != ODD]
            nearest = _nearest(solved, figures) if solved and figures else None
            if solved and nearest:
                found += [_problem(solved, nearest, one) for one in nearest.missed]
    return tuple(found)


def _nearest(solved: SolvedMachine, taken: Iterable[GivenReading]) -> _Nearest | None:
    """What comes nearest, a cause with its victim being the most; nothing missed where two faults explain all."""
    nearest: _Nearest | None = None
    for faults in _sets(solved):
        off = {one: _off(solved, faults, one) for one in taken}
        missed = tuple(one for one, how in off.items() if how > DEVIATIONS)
        if not missed:
            return None
        here = _Nearest(faults, missed, sum(off[one] for one in missed))
        if nearest is None or (len(missed), here.off) < (len(nearest.missed), nearest.off):
            nearest = here
    return nearest


def _sets(solved: SolvedMachine) -> Iterator[Faults]:
    yield from solved.chained
    chained = set(solved.chained)
    yield from (faults for faults in solved.pairs() if faults not in chained)


def _off(solved: SolvedMachine, faults: Faults, taken: GivenReading) -> float:
    """How many deviations a reading lies beyond all that the machine shows."""
    reading = taken.figure or 0.0
    low, high = solved.span(taken.check, faults)
    if isinf(reading):
        return 0.0 if high > OPEN_LINE else inf
    check = solved.machine.book.checks[taken.check]
    deviation = hypot(check.step, check.spread * abs(reading)) or LEAST
    return max(low - reading, reading - high, 0.0) / deviation


def _problem(solved: SolvedMachine, nearest: _Nearest, taken: GivenReading) -> Problem:
    low, high = solved.span(taken.check, nearest.faults)
    unit = UNITS.get(solved.machine.book.checks[taken.check].reads.quantity, "")
    said = figure(low, unit) if low == high else f"{figure(low, unit)} to {figure(high, unit)}"
    return Problem(
        "reading-out-of-span",
        taken.given.place,
        f"{taken.given.value} on '{taken.check}' is '{taken.finding}', and no machine with one fault or two reads so "
        f"beside the rest; nearest comes {named(nearest.faults)}, which gives {said}",
    )
