"""Solved checks on which a sound machine does not read good."""

from __future__ import annotations

from coldiron.book.checks import UNITS
from coldiron.book.problem import Problem
from coldiron.proving.words import bands, figure
from coldiron.proving.yard import SolvedMachine, Yard

SURELY = 0.97
"""How often a sound machine must read good, spread of sound parts and meter counted in."""


def sound(yard: Yard) -> tuple[Problem, ...]:
    """Report each check, once a voltage, that finds something wrong with a machine that has nothing wrong."""
    found: dict[tuple[str, int], Problem] = {}
    for solved in yard.machines:
        for name in sorted(solved.checks):
            problem = _of(solved, name)
            if problem is not None:
                found.setdefault((name.partition(".")[0], solved.machine.volts), problem)
    return tuple(found.values())


def _of(solved: SolvedMachine, name: str) -> Problem | None:
    check = solved.machine.book.checks[name]
    value = next(read(name) for read in solved.coarse(frozenset()))
    chance = solved.chance(name, check.good, value)
    if chance >= SURELY:
        return None
    good = next(finding for finding in check.findings if finding.id == check.good)
    unit = UNITS.get(check.reads.quantity, "")
    return Problem(
        "sound-not-good",
        good.place,
        f"on the circuit '{solved.machine.circuit.id}' a sound machine reads {figure(value, unit)} on '{name}', and "
        f"that is '{check.good}' ({bands(check, good, solved.machine.volts)}) {chance:.0%} of the time",
    )
