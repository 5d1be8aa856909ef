"""What a case gives, as far as the circuit decides it: readings with the finding and the figure each is."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from coldiron.book.cases import Case, Given
from coldiron.proving.yard import SolvedMachine
from coldiron.readings.interpret import understand
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class GivenReading:
    """One answer of a case to a solved check: its finding, and its figure if it has one (V, A or ohms)."""

    given: Given
    check: str
    finding: str
    figure: float | None


def epochs(solved: SolvedMachine, case: Case) -> Iterator[tuple[int, tuple[GivenReading, ...]]]:
    """The readings of a case between its repairs; the number counts the repairs before them."""
    for epoch, given in groupby(case.given, key=lambda one: one.epoch):
        yield epoch, tuple(_taken(solved, given))


def _taken(solved: SolvedMachine, given: Iterator[Given]) -> Iterator[GivenReading]:
    machine = solved.machine
    for one in given:
        if one.id in solved.checks:
            read = understand(machine.book.checks[one.id], one.value, machine.volts, machine.batteries, sure=True)
            if read.finding:
                yield GivenReading(one, one.id, read.finding, read.value)
