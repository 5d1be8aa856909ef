"""Evidence about the evidence: which answer does not fit, and what each answer did to the odds."""

from __future__ import annotations

from dataclasses import dataclass

from coldiron.diagnosis.beliefs import Judge
from coldiron.diagnosis.evidence import Evidence
from coldiron.diagnosis.faults import FaultSet


@dataclass(frozen=True, slots=True)
class Contradiction:
    """The readings do not fit together; this one is worth taking again by another method.

    Attributes:
        check: The check whose reading fits least.
        epoch: Its epoch.
        finding: What it read.
        chance: How likely that finding was, by all the other readings.
        expected: The finding that was likeliest, by all the other readings.
        shortfall: How far the evidence falls below what the best set would give, as a log of chances.
        without: The best set if that reading is left out, and its chance.
        unknown: Chance that the fault is not in the book, with that reading.
    """

    check: str
    epoch: int
    finding: int
    chance: float
    expected: int
    shortfall: float
    without: tuple[FaultSet, float]
    unknown: float


@dataclass(frozen=True, slots=True)
class Change:
    """What one reading did to the log-odds of a fault: above 0 it speaks for the fault.

    The changes of several readings add up exactly only if they are independent given the set of faults and no repair,
    coming and going, or second fault lies between.
    """

    check: str
    epoch: int
    log_odds: float


def contradiction(judge: Judge, evidence: Evidence) -> Contradiction | None:
    """The answer to doubt first, or None while some set explains the readings as well as could be expected."""
    raise NotImplementedError


def changes(judge: Judge, evidence: Evidence, fault: str) -> tuple[Change, ...]:
    """What each reading did to the odds of a fault, the strongest first."""
    raise NotImplementedError
