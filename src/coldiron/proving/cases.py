"""Readings of worked cases that no machine with one fault or two can give together."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.cases import Case, ExpectsFirst
from coldiron.book.checks import ODD, UNITS
from coldiron.book.problem import Problem
from coldiron.inference.machine_model import named as faults_of
from coldiron.proving.given import GivenReading, epochs
from coldiron.proving.joint import ENOUGH, Best, best
from coldiron.proving.words import bands, figure, named
from coldiron.proving.yard import Read, SolvedMachine, Yard

Readings = tuple[GivenReading, ...]


def cases(yard: Yard) -> tuple[Problem, ...]:
    """Report cases whose readings contradict each other, or the fault that is expected first."""
    found: list[Problem] = []
    for case in yard.book.cases.values():
        solved = yard.by_circuit.get(case.circuit)
        if solved is not None:
            found += _of(solved, case)
    return tuple(found)


def _of(solved: SolvedMachine, case: Case) -> Iterator[Problem]:
    expected = _expected(solved, case)
    for epoch, readings in epochs(solved, case):
        likely = expected | {fault for ref in case.repaired for fault in faults_of(solved.machine, ref)}
        found = _fitting(solved, readings, likely)
        if found.fit < ENOUGH:
            yield _contradicted(solved, readings, found, "no machine with one fault or two gives all these readings")
        elif expected and epoch == len(case.repaired):
            found = _fitting(solved, readings, expected, must=expected)
            if found.fit < ENOUGH:
                said = f"the case expects {named(expected)}, and no machine with it gives all these readings"
                yield _contradicted(solved, readings, found, said)


def _expected(solved: SolvedMachine, case: Case) -> frozenset[str]:
    refs = [expect.faults for expect in case.expects if isinstance(expect, ExpectsFirst)]
    return frozenset(fault for ref in refs for fault in faults_of(solved.machine, ref))


def _fitting(
    solved: SolvedMachine, readings: Readings, likely: frozenset[str], *, must: frozenset[str] = frozenset()
) -> Best:
    def fits(read: Read) -> float:
        return min((_chance(solved, one, read) for one in readings), default=1.0)

    return best(solved, fits, likely, must=must)


def _chance(solved: SolvedMachine, taken: GivenReading, read: Read) -> float:
    value = read(taken.check)
    if taken.finding == ODD:
        return solved.row(taken.check, value)[-1]
    return solved.chance(taken.check, taken.finding, value)


def _contradicted(solved: SolvedMachine, readings: Readings, found: Best, said: str) -> Problem:
    """At the reading that fits the nearest machine worst."""
    read = found.read
    if read is None:
        return Problem("case-against-circuit", readings[0].given.place, f"{said}: the machine cannot have it")
    worst = min(readings, key=lambda one: _chance(solved, one, read))
    check = solved.machine.book.checks[worst.check]
    unit = UNITS.get(check.reads.quantity, "")
    record = next((one for one in check.findings if one.id == worst.finding), None)
    return Problem(
        "case-against-circuit",
        worst.given.place,
        f"{said}; nearest comes {named(found.faults)}, where '{worst.check}' is {figure(read(worst.check), unit)} and "
        f"not {worst.given.value}, which is '{worst.finding}' ({bands(check, record, solved.machine.volts)})",
        related=tuple((f"'{one.check}' as given", one.given.place) for one in readings if one is not worst),
    )
