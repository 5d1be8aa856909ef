"""Findings: what an answer to a check comes to, and which band holds a value."""

from __future__ import annotations

import math

from coldiron.book.checks import ODD, OPEN_LINE, Band, Check
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Understood:
    """A finding (empty when the answer tells nothing) and, for a typed reading, its value in V, A or ohm.

    Where a limit or a range was typed nothing is known of the value. Where that leaves several findings open, `finding`
    is empty, and `cover` has them all, each with the share of it that is covered.
    """

    finding: str
    value: float | None = None
    cover: tuple[tuple[str, float], ...] = ()

    @property
    def tells(self) -> bool:
        """Whether it tells anything."""
        return bool(self.finding or self.cover)


NOTHING = Understood("")


def bounds(band: Band, volts: int, batteries: int) -> tuple[float, float] | None:
    """The bounds of a band on a machine, or None where it does not speak of that voltage."""
    if band.volts not in (0, volts):
        return None
    times = batteries if band.per_battery else 1
    return band.low * times, band.high * times


def finding_of(check: Check, value: float, volts: int, batteries: int) -> str:
    """The finding whose band holds the value; `odd` when none does. An open line is infinite."""
    for finding in check.findings:
        for band in finding.bands:
            limits = bounds(band, volts, batteries)
            if limits and (limits[0] <= value < limits[1] or (value == math.inf and limits[1] > OPEN_LINE)):
                return finding.id
    return ODD
