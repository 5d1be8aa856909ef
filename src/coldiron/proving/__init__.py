"""The proof: what rule files say of readings, held against the solved circuits.

Each file here holds one sort of statement against the circuits and has one signature, yard to problems. `PROOFS` is
their order. The proof wants a book that was built without errors.
"""

from __future__ import annotations

from collections.abc import Callable

from coldiron.book.problem import Problem
from coldiron.proving.alike import Alike, alike
from coldiron.proving.bands import bands
from coldiron.proving.cases import cases
from coldiron.proving.complaints import complaints
from coldiron.proving.figures import figures
from coldiron.proving.lines import lines
from coldiron.proving.reached import reached
from coldiron.proving.readings import readings
from coldiron.proving.severity import severity
from coldiron.proving.sound import sound
from coldiron.proving.told import told
from coldiron.proving.yard import Yard

__all__ = ["PROOFS", "Alike", "Yard", "alike", "prove"]

Proof = Callable[[Yard], tuple[Problem, ...]]

PROOFS: tuple[Proof, ...] = (bands, sound, reached, complaints, told, lines, figures, cases, readings, severity)
"""Every proof, from the bands by themselves to whole cases."""


def prove(yard: Yard) -> tuple[Problem, ...]:
    """Return every statement of a book that its circuits deny."""
    return tuple(problem for one in PROOFS for problem in one(yard))
