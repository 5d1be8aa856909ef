"""What may be typed at the present question, the likeliest first."""

from __future__ import annotations

from coldiron.book.checks import UNITS, Check, Finding
from coldiron.book.history import COMPLAINT
from coldiron.job.question import Question
from coldiron.telling.so_far import SoFar


def answers(consultation: SoFar) -> tuple[str, ...]:
    """Something that could be typed for every way the present question can go, the likeliest first."""
    asked = consultation.next
    if asked is None:
        return ()
    check = consultation.book.checks.get(asked.id)
    if check is None:
        return _choices(consultation, asked)
    found = [check.findings[place] for place in _likeliest(consultation, check)]
    if check.reads.quantity not in UNITS:
        return tuple(finding.id for finding in found)
    texts = (_reading(consultation, finding) for finding in found)
    return tuple(text for text in texts if text)


def _choices(consultation: SoFar, asked: Question) -> tuple[str, ...]:
    """All choices of a question of history, else the first alone: acknowledged, done, put back."""
    known = asked.id == COMPLAINT or asked.id in consultation.book.questions
    return asked.choices if known else asked.choices[:1]


def _likeliest(consultation: SoFar, check: Check) -> list[int]:
    """The findings of a check that can come, the likeliest first."""
    judged = consultation.judged
    if judged is None:
        return []
    sights = judged.foresee(check.id)
    known = [sight for sight in sights if sight.finding < len(check.findings)]
    return [sight.finding for sight in sorted(known, key=lambda sight: -sight.chance)]


def _reading(consultation: SoFar, finding: Finding) -> str:
    """A value within a band, no further from zero than need be; empty where the finding has none at these volts."""
    volts, batteries = consultation.state.volts, consultation.state.batteries
    for band in finding.bands:
        if band.volts in (0, volts):
            low = max(band.low, min(0.0, band.high - 1.0))
            middle = (low + min(band.high, low + 1.0)) / 2
            return f"{middle * (batteries if band.per_battery else 1):.6f}"
    return ""
