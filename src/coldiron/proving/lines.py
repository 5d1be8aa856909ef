"""Lines of faults that speak of a solved check, held against what the circuit gives."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.checks import UNITS, Check
from coldiron.book.faults import Fault, Shows
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.proving.words import figure, named
from coldiron.proving.yard import Faults, SolvedMachine, Yard, solved_by_circuit

FAR = 0.25
"""A line and the circuit agree while their chances lie no further apart."""


def lines(yard: Yard) -> tuple[Problem, ...]:
    """Report each `shows` line of a solved check that says something else than the circuit, where it lies furthest."""
    found: dict[Place, Problem] = {}
    for solved in yard.machines:
        for name, fault in solved.machine.faults.items():
            for line in fault.what.shows:
                problem = _of(solved, name, fault, line)
                if problem is not None:
                    found.setdefault(line.place, problem)
    return tuple(found.values())


def _of(solved: SolvedMachine, name: str, fault: Fault, line: Shows) -> Problem | None:
    for check in (line.check, f"{line.check}.{fault.part}"):
        if check in solved.checks and _spoken_of(fault, solved.machine.book.checks[check]):
            for faults in _sets(solved, name):
                problem = _held(solved, check, line, faults)
                if problem is not None:
                    return problem
    return None


def _spoken_of(fault: Fault, check: Check) -> bool:
    """Whether the circuit has a say in what a line tells of.

    It has none in what is seen, not measured, where the fault touches nothing electrical (a stuck plunger, whatever its
    windings get) or is in the very part that is looked at (three of four glow plugs open: the circuit knows them as
    one load, and what reaches it).
    """
    if check.reads.quantity in UNITS:
        return True
    return solved_by_circuit(check) and bool(fault.what.effects) and check.reads.part != fault.part


def _sets(solved: SolvedMachine, fault: str) -> Iterator[Faults]:
    """The fault alone, then with its causes and victims."""
    yield frozenset((fault,))
    yield from (faults for faults in solved.chained if fault in faults and len(faults) > 1)


def _held(solved: SolvedMachine, check: str, line: Shows, faults: Faults) -> Problem | None:
    values = [read(check) for read in solved.coarse(faults)]
    chance = sum(solved.chance(check, line.finding, value) for value in values) / len(values)
    if abs(chance - line.chance) <= FAR:
        return None
    middle = sorted(values)[len(values) // 2]
    unit = UNITS.get(solved.machine.book.checks[check].reads.quantity, "")
    return Problem(
        "shows-against-circuit",
        line.place,
        f"'{line.finding}' on '{check}' in {line.chance:.0%} of machines, says this line; with {named(faults)} on the "
        f"circuit '{solved.machine.circuit.id}' it is {figure(middle, unit)}, which is "
        f"'{solved.usual(check, middle) or 'odd'}', and '{line.finding}' in {chance:.0%}",
    )
