"""What to fit: the wire that loses no more than it may, the fuse that protects it, its link, its splice.

Every size is rounded to the side that is safe: the thicker wire, the smaller fuse.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coldiron.circuits.copper import SIZES, wire_ohms
from coldiron.sizing import gauge

ALLOWED = 1 / 28
"""Share of the system's volts that may be lost to a load that runs on: 0.5 V of 14 V, 1 V of 28 V.

AC 43.13-1B, tables 11-7 and 11-8; a load that runs for moments is given no more here.
"""

STRAND = {
    20: (4, 9.88),
    18: (6, 6.23),
    16: (7, 4.81),
    14: (10, 3.06),
    12: (13, 2.02),
    10: (17, 1.26),
    8: (38, 0.70),
    6: (50, 0.44),
    4: (68, 0.28),
    2: (95, 0.18),
    1: (113, 0.15),
    0: (128, 0.12),
    -1: (147, 0.09),
    -2: (172, 0.07),
    -3: (204, 0.06),
}
"""By gauge: amps in a bundle with 105 C insulation, and ohms of 1000 ft of strand (AC 43.13-1B, table 11-9)."""

RATINGS = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200)
"""Amps that fuses are sold in; common practice, no source."""

LINK_STEPS = 4
"""A fusible link is so many gauge numbers smaller than the wire behind it; part suppliers say so alike."""

SPLICES = (("red", 22, 16), ("blue", 16, 14), ("yellow", 12, 10))
"""Color of a butt splice, thinnest and thickest wire; part suppliers. 16 AWG alone serves both red and blue."""


@dataclass(frozen=True)
class Wire:
    """A wire to fit: its gauge, area in mm2, amps it may carry in a bundle, volts it loses, amps of its fuse."""

    gauge: int
    area: float
    carries: float
    loses: float
    fuse: float


def allowed(volts: float) -> float:
    """Volts a load that runs on may lose on the way, on a 12 V machine (counted as 14 V) or a 24 V one (28 V)."""
    return ALLOWED * volts * 28 / 24


def wire(amps: float, meters: float, most: float) -> Wire | None:
    """The thinnest strand that a fuse for the load protects in a bundle, and that loses no more than `most` volts.

    None if there is none.

    Args:
        amps: of the load.
        meters: there and back.
        most: volts it may lose.
    """
    for number in gauge.sold():
        carries, ohms = STRAND[number]
        loses = ohms / 1000 / gauge.METERS_A_FOOT * meters * amps
        rating = fuse(amps, carries)
        if rating is not None and loses <= most:
            return Wire(number, gauge.mm2(number), carries, loses, rating)
    return None


def metric(amps: float, meters: float, most: float, least: float) -> float | None:
    """The thinnest metric cable, in mm2, of no less area than `least`, that loses no more than `most` volts."""
    return next((area for area, _ in SIZES if area >= least and wire_ohms(area, meters) * amps <= most), None)


def fuse(amps: float, carries: float) -> float | None:
    """The smallest fuse that bears the load and is not larger than what the wire carries; None if there is none.

    It bears the load where the load takes no more than four fifths of it (common practice, no source).
    """
    return next((rating for rating in RATINGS if 0.8 * rating >= amps and rating <= carries), None)


def link(number: int) -> int | None:
    """The gauge of the fusible link for a wire; None where the wire is too thin to have one."""
    smaller = number + LINK_STEPS
    return smaller if smaller <= gauge.SMALLEST else None


def splice(numbers: Sequence[int]) -> tuple[str, int] | None:
    """Color of the butt splice for the wires of one side, and the wire they count as; None above 10 AWG.

    Several wires in one barrel count as one with all their circular mils, the next thicker size where it falls between
    two (NASA-STD-8739.4, 19.11).
    """
    together = gauge.number_for(sum(map(gauge.circular_mils, numbers)))
    if together is None:
        return None
    return next(((colour, together) for colour, _, thickest in SPLICES if together >= thickest), None)
