"""Complaints made of findings that no machine shows together."""

from __future__ import annotations

from coldiron.book.history import Complaint
from coldiron.book.problem import Problem
from coldiron.proving.joint import ENOUGH, best
from coldiron.proving.yard import Read, SolvedMachine, Yard


def complaints(yard: Yard) -> tuple[Problem, ...]:
    """Report complaints that no machine with one fault or two gives cause for."""
    found = []
    for complaint in yard.book.complaints.values():
        able = [solved for solved in yard.machines if _sees(solved, complaint)]  # none if it sees nothing at all
        if able and not any(_made(solved, complaint) for solved in able):
            sees = " and ".join(f"'{check}' {finding}" for check, finding in complaint.sees)
            said = f"no machine with one fault or two shows {sees} at once"
            found.append(Problem("complaint-never", complaint.place, said))
    return tuple(found)


def _sees(solved: SolvedMachine, complaint: Complaint) -> tuple[tuple[str, str], ...]:
    return tuple((check, finding) for check, finding in complaint.sees if check in solved.checks)


def _made(solved: SolvedMachine, complaint: Complaint) -> bool:
    sees = _sees(solved, complaint)

    def fits(read: Read) -> float:
        return min(solved.chance(check, finding, read(check)) for check, finding in sees)

    return best(solved, fits).fit >= ENOUGH
