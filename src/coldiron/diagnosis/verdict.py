"""When to stop checking and repair, what to blame, and what is not excluded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coldiron.diagnosis.beliefs import Belief, Judge
from coldiron.diagnosis.choice import Offer, Ways
from coldiron.diagnosis.evidence import Evidence


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the evidence now supports.

    Attributes:
        faults: What to repair, every cause before its victims. A victim stands alone only if it is likely alone.
        part: The part that the verdict rests on.
        chance: Chance that this part is at fault.
        open: What is not excluded: other parts with their chances, likeliest first.
        unknown: Chance that the fault is not in the book.
        repair_minutes: Expected minutes of repairing now, in the best order, until the machine works.
        check_minutes: Expected minutes if the best check is done first; None if no check is left.
    """

    faults: tuple[str, ...]
    part: str
    chance: float
    open: tuple[tuple[str, float], ...]
    unknown: float
    repair_minutes: float
    check_minutes: float | None


Reason = Literal["sure", "repair pays", "check pays", "unsure", "held", "no reading", "unknown", "sound"]


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict, or why there is none yet.

    `why` is "sure" or "repair pays" with a verdict. Without: "no reading" (nothing was read at the machine), "unsure",
    "check pays", "held" (the checks in `held_by` come first), "unknown" (most likely not in the book, no check left),
    "sound" (most likely nothing is wrong any more).
    """

    verdict: Verdict | None
    why: Reason
    held_by: tuple[str, ...] = ()


def decide(
    judge: Judge,
    *,
    evidence: Evidence,
    belief: Belief,
    offers: tuple[Offer, ...],
    ways: Ways,
    held: Mapping[str, tuple[str, ...]],
    story: frozenset[str],
) -> Decision:
    """Repair now, or check first?

    Args:
        judge: Judges the evidence.
        evidence: All of it.
        belief: What `judge` makes of it.
        offers: The checks that may still be done.
        ways: What reaching their states takes.
        held: Checks that must be done before a verdict on a fault, by fault; those already done left out.
        story: Checks that are told and not read at the machine, such as the complaint.
    """
    raise NotImplementedError
