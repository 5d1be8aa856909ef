"""When to stop asking: what a check has to settle at least, the more of them have moved nothing."""

from __future__ import annotations

from coldiron.choice.judge import Hearing, Judge
from coldiron.inference.evidence import Evidence
from coldiron.record import replace

LEAST = 0.03
"""The share of the doubt that a check has to settle at least."""

LEAST_STUCK = 0.12
"""The same once `STUCK` readings in a row left the leading story where it was."""

STUCK = 3
STILL = 0.02
"""So many readings that moved the leading fault by no more than this chance are a sign that asking leads nowhere."""

MOST_CHECKS = 40
"""After so many checks no more is offered: the job has gone on for long enough."""

ENDLESS = 2.0
"""More than any check settles."""


def least_share(judge: Judge, evidence: Evidence, story: frozenset[str], checks: int) -> float:
    """The share of the doubt that the next check has to settle, after so many checks."""
    if checks >= MOST_CHECKS:
        return ENDLESS
    return LEAST_STUCK if is_stuck(judge, evidence, story) else LEAST


def is_stuck(judge: Judge, evidence: Evidence, story: frozenset[str]) -> bool:
    """Whether the latest readings, all since the latest repair, left the leading fault where it was before them."""
    now = len(evidence.repairs)
    read = [one for one in evidence.readings if one.epoch == now and one.check not in story and one.finding is not None]
    if len(read) < STUCK:
        return False
    heard = judge.hear(evidence)
    leads = judge.belief(evidence).suspects[:1]
    for count in range(1, STUCK + 1):
        late = read[-count:]
        before = replace(evidence, readings=tuple(one for one in evidence.readings if one not in late))
        if any(abs(_chance(heard, before, fault) - chance) > STILL for fault, chance in leads):
            return False
    return True


def _chance(heard: Hearing, evidence: Evidence, fault: str) -> float:
    """The chance of a fault by other readings of the same job."""
    return sum(weight for (faults, _), weight in heard.otherwise(evidence).epochs[-1].items() if fault in faults)
