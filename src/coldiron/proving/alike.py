"""Faults of a machine that no check of the book can tell apart: no mistake, but worth knowing."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.inference.table import BookTable
from coldiron.proving.yard import SolvedMachine
from coldiron.record import dataclass

SAME = 0.1
"""Two faults are alike if no finding of any check is this much likelier with the one than with the other."""

Rows = Mapping[str, tuple[float, ...]]


@dataclass(frozen=True, slots=True)
class Alike:
    """Faults of one circuit that all checks read alike; with `unseen` all checks read them like a sound machine."""

    circuit: str
    faults: tuple[str, ...]
    unseen: bool = False

    def __str__(self) -> str:
        """One line."""
        as_well = " (and from a sound machine)" if self.unseen else ""
        return f"{self.circuit}: {', '.join(self.faults)}{as_well}"


def alike(solved: SolvedMachine) -> tuple[Alike, ...]:
    """Groups of faults that no check of a machine tells apart, and faults that none tells from a sound machine."""
    table = BookTable(solved.machine, solved.predictor)
    checks = solved.machine.checks
    rows: dict[frozenset[str], Rows] = {
        faults: {check: table.chances(check, faults) for check in checks}
        for faults in (frozenset[str](), *(frozenset((fault,)) for fault in solved.machine.faults))
    }
    sound = rows.pop(frozenset())
    groups: list[tuple[Rows, list[str]]] = []
    for faults, row in rows.items():
        group = next((names for first, names in groups if _same(first, row)), None)
        if group is None:
            groups.append((row, list(faults)))
        else:
            group += faults
    found = []
    for row, names in groups:
        unseen = _same(row, sound)
        if len(names) > 1 or unseen:
            found.append(Alike(solved.machine.circuit.id, tuple(names), unseen))
    return tuple(found)


def _same(one: Rows, other: Rows) -> bool:
    return all(
        abs(here - there) < SAME
        for check, row in one.items()
        if row is not other[check]
        for here, there in zip(row, other[check], strict=True)
    )
