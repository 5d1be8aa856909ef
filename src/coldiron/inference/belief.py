"""The record of what the evidence supports."""

from __future__ import annotations

from coldiron.inference.descent import FaultSet
from coldiron.record import dataclass

DIGITS = 9
"""Chances are compared after rounding to this many digits, so that the last bits of a sum decide nothing."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One possible truth now: the faults present, those of them that show in this epoch, and its chance."""

    faults: FaultSet
    shown: FaultSet
    chance: float


@dataclass(frozen=True, slots=True)
class Belief:
    """What the evidence supports now, after the repairs so far.

    Attributes:
        suspects: Every fault with the chance that it is present now, likeliest first, ties by id.
        parts: Every part with the chance that it has any fault now, likewise.
        work: All that may have to be done, as `FaultModel.work` has it, with the chance that it has to be, likewise.
        sets: Every set judged, with its chance, likeliest first; the empty set is a sound machine.
        unknown: Chance that the fault is not in the book.
        alike: What of `unknown` reads like a fault of the book, by its part, likeliest first: it lies there or near by.
        sound: Chance that nothing is wrong any more.
        hypotheses: The sets again, each split by which of its faults show; for the choice of the next check.
        evidence: Log of the probability of all readings; only differences mean anything.
        in_view: The suspects for a person: what an event most likely did to wires is no line beside that event.
    """

    suspects: tuple[tuple[str, float], ...]
    parts: tuple[tuple[str, float], ...]
    work: tuple[tuple[str, float], ...]
    sets: tuple[tuple[FaultSet, float], ...]
    unknown: float
    alike: tuple[tuple[str, float], ...]
    sound: float
    hypotheses: tuple[Hypothesis, ...]
    evidence: float
    in_view: tuple[tuple[str, float], ...]

    def chance(self, fault: str) -> float:
        """Chance that this fault is present now; 0 for a fault the machine does not have."""
        return next((chance for name, chance in self.suspects if name == fault), 0.0)
