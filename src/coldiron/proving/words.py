"""How figures and faults are written in what the proof says."""

from __future__ import annotations

from collections.abc import Iterable
from math import isinf

from coldiron.book.checks import OPEN_LINE, UNITS, Check, Finding


def figure(value: float, unit: str) -> str:
    """A figure with its unit, short; an open line in words."""
    if isinf(value) or (unit == UNITS["ohms"] and value > OPEN_LINE):
        return "an open line"
    shown = f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
    return f"{shown} {unit}".rstrip()


def named(faults: Iterable[str]) -> str:
    """A set of faults in words."""
    return " and ".join(sorted(faults)) or "a sound machine"


def bands(check: Check, finding: Finding | None, volts: int) -> str:
    """The figures of a finding on machines of a voltage; none: what falls in no band."""
    unit = UNITS.get(check.reads.quantity, "")
    if finding is None:
        return "in no band"
    spans = []
    for band in finding.bands:
        if band.volts in (0, volts):
            times = volts // 12 if band.per_battery else 1
            spans.append(f"{figure(band.low * times, unit)} to {figure(band.high * times, unit)}")
    return " or ".join(spans)
