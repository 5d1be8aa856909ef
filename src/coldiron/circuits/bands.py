"""From a solved value to the chance of each finding: bands with bounds, and the spread of sound parts and meters."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import erf, hypot, inf, isinf, sqrt

from coldiron.book.checks import OPEN_LINE, Check
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Scale:
    """The bands of a check on one machine: (number of the finding, low, high), and the spread of its readings."""

    bands: tuple[tuple[int, float, float], ...]
    findings: int
    spread: float
    step: float


def scale(check: Check, volts: int, batteries: int) -> Scale:
    """The bands of a check on a machine of so many volts with so many batteries in series."""
    bands = []
    for number, finding in enumerate(check.findings):
        for band in finding.bands:
            if band.volts in (0, volts):
                times = batteries if band.per_battery else 1
                bands.append((number, band.low * times, band.high * times))
    return Scale(tuple(bands), len(check.findings), check.spread, check.step)


def finding_of(found: Scale, reading: float) -> int:
    """The number of the finding a reading is; the number of findings if it falls in no band (odd).

    An open line (infinite ohms) is in every band that goes on above what an ohmmeter can show.
    """
    for number, low, high in found.bands:
        if low <= reading < high or (reading == inf and high > OPEN_LINE):
            return number
    return found.findings


def chances(found: Scale, values: Iterable[float]) -> tuple[float, ...]:
    """Chance of each finding, then of a reading in no band, over equally likely solved values."""
    return mean([single(found, value) for value in values])


def single(found: Scale, value: float) -> tuple[float, ...]:
    """The same where one value was solved."""
    row = [0.0] * (found.findings + 1)
    deviation = found.step if isinf(value) else hypot(found.step, found.spread * abs(value))
    if isinf(value) or deviation <= 0:
        row[finding_of(found, value)] = 1.0
        return tuple(row)
    width = deviation * sqrt(2)
    for number, low, high in found.bands:
        row[number] += 0.5 * (1 + erf((high - value) / width)) - 0.5 * (1 + erf((low - value) / width))
    return _made_whole(row)


def mean(rows: Sequence[tuple[float, ...]]) -> tuple[float, ...]:
    """The chances over several solved values that are equally likely, from those of each."""
    return tuple([sum(column) / len(rows) for column in zip(*rows, strict=True)])


def _made_whole(row: list[float]) -> tuple[float, ...]:
    """The rest goes to the last place; bands that overlap share what is more than 1."""
    total = sum(row)
    if total > 1:
        return tuple([chance / total for chance in row])
    row[-1] = 1 - total
    return tuple(row)
