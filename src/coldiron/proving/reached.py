"""Findings of solved checks that no machine shows: a band of figures that nothing leads to."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.checks import Finding
from coldiron.book.problem import Problem
from coldiron.proving.words import bands
from coldiron.proving.yard import POSSIBLE, Faults, SolvedMachine, Yard
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A finding of a check (the template, for one made for each part); on one voltage, or 0: on any."""

    check: str
    finding: str
    volts: int


def reached(yard: Yard) -> tuple[Problem, ...]:
    """Report each finding that no sound machine, single fault, or cause with its victim shows.

    One with bands of its own for a voltage has to be shown on that; one written once for all, on any.
    """
    wanted = {each: where for solved in yard.machines for each, where in _findings(solved)}
    missing = dict(wanted)
    for solved in yard.machines:
        for faults in solved.chained:
            _tick_off(solved, faults, missing, fine=False)
    for solved in yard.machines:
        for faults in solved.chained:
            _tick_off(solved, faults, missing, fine=True)
    return tuple(_problem(yard, each, finding) for each, finding in missing.items())


def _findings(solved: SolvedMachine) -> Iterator[tuple[_Wanted, Finding]]:
    for name in sorted(solved.checks):
        for finding in solved.machine.book.checks[name].findings:
            for volts in {band.volts for band in finding.bands} & {0, solved.machine.volts}:
                yield _Wanted(name.partition(".")[0], finding.id, volts), finding


def _tick_off(solved: SolvedMachine, faults: Faults, missing: dict[_Wanted, Finding], *, fine: bool) -> None:
    volts = (0, solved.machine.volts)
    names = {each.check for each in missing if each.volts in volts}
    checks = [name for name in solved.checks if name.partition(".")[0] in names]
    if checks:
        for read in solved.fine(faults) if fine else solved.coarse(faults):
            for check in checks:
                row = solved.row(check, read(check))
                for finding, chance in zip(solved.machine.book.checks[check].findings, row, strict=False):
                    if chance >= POSSIBLE:
                        for each in volts:
                            missing.pop(_Wanted(check.partition(".")[0], finding.id, each), None)


def _problem(yard: Yard, wanted: _Wanted, finding: Finding) -> Problem:
    check = next(check for name, check in yard.book.checks.items() if name.partition(".")[0] == wanted.check)
    machine = f"machine of {wanted.volts} V" if wanted.volts else "machine"
    sentence = (
        f"no {machine} shows '{wanted.finding}' on the check '{wanted.check}': nothing leads to "
        f"{bands(check, finding, wanted.volts or 12)}, neither a sound machine nor a fault, nor a cause with its victim"
    )
    return Problem("finding-unreached", finding.place, sentence)
