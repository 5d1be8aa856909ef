"""American wire gauge: diameter, area and ohms of a number, and back. 1/0 to 4/0 are the numbers 0 to -3.

The diameter is that of ASTM B258, 0.005 in times 92 to the power of (36 - number) / 39; copper has 10.371 ohms for each
circular mil foot at 20 C (IACS).
"""

from __future__ import annotations

import math

SMALLEST, LARGEST = 20, -3
"""Numbers between which sizes are given."""

MM_AN_INCH = 25.4
METERS_A_FOOT = 0.3048
"""By definition since 1959."""

OHMS_A_CIRCULAR_MIL_FOOT = 10.371
"""Of copper at 20 C (IACS)."""


def inches(number: int) -> float:
    """Diameter in inches."""
    return float(0.005 * 92 ** ((36 - number) / 39))


def circular_mils(number: int) -> float:
    """Area in circular mils: the square of the diameter in thousandths of an inch."""
    return (1000 * inches(number)) ** 2


def mm2(number: int) -> float:
    """Area in mm2."""
    return math.pi / 4 * (MM_AN_INCH * inches(number)) ** 2


def ohms_a_meter(number: int) -> float:
    """Ohms of a meter of bare solid copper at 20 C; strand has more."""
    return OHMS_A_CIRCULAR_MIL_FOOT / circular_mils(number) / METERS_A_FOOT


def number_for(mils: float) -> int | None:
    """The thinnest wire that is sold with at least so many circular mils; None above 4/0."""
    return next((number for number in sold() if circular_mils(number) >= mils * (1 - 1e-9)), None)


def sold() -> tuple[int, ...]:
    """The numbers that wire is sold in, the thinnest first."""
    return (*range(SMALLEST, 1, -2), *range(1, LARGEST - 1, -1))


def name(number: int) -> str:
    """A gauge as it is written: 16 AWG, 2/0 AWG."""
    return f"{number} AWG" if number > 0 else f"{1 - number}/0 AWG"
