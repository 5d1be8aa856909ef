"""What eyes, ears and hands see of faults, by what a book declares that they show."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.checks import Check
from support.own_machine import OwnMachine


def chances(machine: OwnMachine, check: Check, faults: Iterable[str], solved: str) -> dict[str, float]:
    """The chance of each finding: of all that the faults show each by itself, and the circuit, the worst is seen."""
    order = [finding.id for finding in check.findings if finding.id != check.good] + [check.good]
    row = {solved: 1.0}
    for lines in filter(None, (machine.lines(check, name) for name in sorted(faults))):
        told = {line.finding: line.chance for line in lines}
        told[check.good] = told.get(check.good, 0.0) + max(0.0, 1 - sum(told.values()))
        both = [(min(one, two, key=order.index), p * q) for one, p in row.items() for two, q in told.items()]
        row = {name: sum(chance for other, chance in both if other == name) for name in dict(both)}
    return row


def declared(machine: OwnMachine, check: Check, faults: Iterable[str]) -> str | None:
    """The finding that a fault is most likely declared to show on a check that the circuit would else decide."""
    for name in sorted(faults):
        for line in machine.lines(check, name):
            if line.chance >= 0.5:
                return line.finding
    return None
