"""Bands of solved checks that overlap or leave a gap: what the audit says of them, and a gap counts in full here."""

from __future__ import annotations

from coldiron.audit.bands import bands as audited
from coldiron.book.problem import Problem
from coldiron.proving.yard import Yard, solved_by_circuit
from coldiron.record import replace


def bands(yard: Yard) -> tuple[Problem, ...]:
    """Report each pair of neighbouring bands with a reading that is both or neither."""
    solved = {name: check for name, check in yard.book.checks.items() if solved_by_circuit(check)}
    found = audited(replace(yard.book, checks=solved))
    return tuple(replace(problem, weight="error") for problem in found)
