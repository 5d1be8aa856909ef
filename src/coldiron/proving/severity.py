"""Ranges of faults: a worse size is worse at every reading of its kind, and no value between two faults lies in none.

Of its kind are the volts across the part itself, how bright lights are before START, and how fast the engine turns.
What lies behind a worse joint loses less, for less flows there. Where a relay, a solenoid or the motor does something
else at the worse size, the machine is another, and readings are not compared.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import isinf

from coldiron.book.checks import UNITS
from coldiron.book.faults import Fault, SetsValue
from coldiron.book.machines import Kind
from coldiron.book.problem import Problem
from coldiron.circuits.stamps import levelled
from coldiron.proving.words import figure
from coldiron.proving.yard import Read, SolvedMachine, Yard

MOVES = ("click", "turn")
"""What shows that the machine does something else."""

SLACK = 0.02
"""A reading may come nearer to that of a sound machine by this share of it, and by a step of its meter."""


def severity(yard: Yard) -> tuple[Problem, ...]:
    """Report faults of which a worse size reads nearer to sound, and figures between two faults that neither has."""
    found: dict[tuple[str, str], Problem] = {}
    for solved in yard.machines:
        for fault in solved.machine.faults.values():
            if (fault.kind, fault.what.id) not in found and levelled(fault.what.effects):
                problem = _of(solved, fault)
                if problem is not None:
                    found[fault.kind, fault.what.id] = problem
    return (*found.values(), *(gap for kind in yard.book.kinds.values() for gap in _gaps(kind)))


def _of(solved: SolvedMachine, fault: Fault) -> Problem | None:
    sound = next(iter(solved.coarse(frozenset())))
    sizes = list(solved.coarse(frozenset((fault.id,))))
    for check in (one for one in sorted(solved.checks) if _of_its_kind(solved, fault, one)):
        record = solved.machine.book.checks[check]
        healthy = sound(check)
        for milder, worse in pairwise(sizes):
            values = milder(check), worse(check)
            if any(map(isinf, (healthy, *values))) or _moved(solved, milder, worse):
                continue
            nearer = abs(values[0] - healthy) - abs(values[1] - healthy)
            if nearer > record.step + SLACK * abs(healthy):
                return _nearer(solved, fault, check, healthy, values)
    return None


def _of_its_kind(solved: SolvedMachine, fault: Fault, check: str) -> bool:
    """Whether a check reads the volts across the part at fault, or what is seen of lights and engine."""
    record = solved.machine.book.checks[check]
    reads, settings = record.reads, solved.machine.book.settings
    if reads.quantity == "glow":
        return all(value not in settings[name].springs for name, value in record.state.items())
    if reads.quantity == "turn":
        return True
    ends = {solved.machine.point(reads.a), solved.machine.point(reads.b)}
    joins = set(solved.machine.parts[fault.part].joins.values())
    return reads.quantity == "volts" and len(joins) == len(ends) and joins == ends


def _moved(solved: SolvedMachine, milder: Read, worse: Read) -> bool:
    """Whether a relay, a solenoid or the motor does something else at the worse size."""
    book = solved.machine.book
    moves = [one for one in solved.checks if book.checks[one].reads.quantity in MOVES]
    return any(_does(milder(one)) != _does(worse(one)) for one in sorted(moves))


def _does(moved: float) -> float:
    """At rest, chattering, pulled in; of a motor: whether it turns."""
    return moved if moved in (0.0, 0.5) else 1.0


def _nearer(solved: SolvedMachine, fault: Fault, check: str, healthy: float, values: tuple[float, float]) -> Problem:
    unit = UNITS.get(solved.machine.book.checks[check].reads.quantity, "")
    mild, severe = (figure(value, unit) for value in values)
    return Problem(
        "worse-reads-better",
        fault.what.place,
        f"on the circuit '{solved.machine.circuit.id}' '{check}' is {figure(healthy, unit)} on a sound machine, {mild} "
        f"with '{fault.id}' and {severe} with a worse one, which is nearer to sound: its ranges run apart",
    )


def _gaps(kind: Kind) -> Iterator[Problem]:
    """Values between two faults of a kind that no fault of it has, each sign by itself."""
    spans: dict[tuple[str, bool], list[tuple[float, float, SetsValue]]] = {}
    for fault in kind.faults:
        for effect in fault.effects:
            if isinstance(effect, SetsValue):
                low, high = sorted((effect.mild, effect.severe))
                spans.setdefault((effect.value, low < 0), []).append((low, high, effect))
    for (value, _), found in spans.items():
        found.sort(key=lambda span: span[:2])
        reached = found[0][1]
        for low, high, effect in found[1:]:
            if low > reached:
                yield Problem(
                    "no-owner",
                    effect.place,
                    f"no fault of '{kind.id}' has {value} between {reached:g} and {low:g}: what reads so would be "
                    "laid to another",
                )
            reached = max(reached, high)
