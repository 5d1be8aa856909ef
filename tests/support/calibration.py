"""Whether chances that were told come true as often as they say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

CONFIDENT = 0.9
"""A verdict this likely is a confident one."""

STEPS = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 0.95, 0.99)
"""Where the rows of a reliability table begin."""


@dataclass(frozen=True)
class Foretold:
    """A chance that was told, and whether it came true."""

    chance: float
    true: bool


@dataclass(frozen=True)
class Row:
    """One row of a reliability table: how many were told from `least` on, what they said on average, what came true."""

    least: float
    count: int
    said: float
    true: float


def brier(told: Sequence[Foretold]) -> float:
    """Mean square of what was told against what came: 0 is best, and always saying even gives a quarter.

    Source of the score: G. W. Brier 1950, Monthly Weather Review 78(1), for one event; from memory.
    """
    return _mean([(one.chance - one.true) ** 2 for one in told])


def due(told: Sequence[Foretold]) -> float:
    """What the score comes to on average if chances come true just as often as they say: the mean of p (1 - p)."""
    return _mean([one.chance * (1 - one.chance) for one in told])


def reliability(told: Sequence[Foretold]) -> list[Row]:
    """The table; rows of which nothing was told are left out."""
    rows = []
    for least, end in zip(STEPS, (*STEPS[1:], 2.0), strict=True):
        inside = [one for one in told if least <= one.chance < end]
        if inside:
            said, true = _mean([one.chance for one in inside]), _mean([one.true for one in inside])
            rows.append(Row(least, len(inside), said, true))
    return rows


def confident_wrong(told: Sequence[Foretold]) -> float:
    """Share of the confident verdicts that are wrong."""
    return _mean([not one.true for one in told if one.chance >= CONFIDENT])


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0
