"""Which findings of a check a span of values covers, and how much of each.

The share of a finding is the share of its bands that the span covers, measured on a scale that is even near nought and
counts in decades far from it: between 1 and 10 ohm lies as much as between 10 and 100. Shares add up: those of two
spans that meet are together those of the whole. What no band holds belongs to `odd`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from coldiron.book.checks import ODD, Band, Check
from coldiron.readings.findings import bounds

FARTHEST = 1e9
"""Where the scale ends on either side, in V, A or ohm: no meter shows more."""

EVEN = {"volts": 12.0, "amps": 10.0, "ohms": 0.1}
"""Up to about here the scale is even, by quantity, in V, A or ohm."""

Stretch = tuple[float, float]
"""From a value to a value, in V, A or ohm."""


def covered(check: Check, low: float, high: float, volts: int, batteries: int) -> tuple[tuple[str, float], ...]:
    """The findings that hold some value between two, in the order of the check, each with its share above 0 up to 1.

    `odd` comes last. Nothing if `low` is not below `high`.
    """
    quantity = check.reads.quantity
    found = {finding.id: _bands(finding.bands, volts, batteries, quantity) for finding in check.findings}
    found[ODD] = _beside([band for bands in found.values() for band in bands], quantity)
    shares = ((name, _share(bands, (low, high), quantity)) for name, bands in found.items())
    return tuple((name, share) for name, share in shares if share > 0)


def _bands(bands: Iterable[Band], volts: int, batteries: int, quantity: str) -> list[Stretch]:
    limits = (bounds(band, volts, batteries) for band in bands)
    return [_within(found, quantity) for found in limits if found]


def _within(stretch: Stretch, quantity: str) -> Stretch:
    """A stretch, as far as it lies on the scale; no ohms lie below nought."""
    lowest = 0.0 if quantity == "ohms" else -FARTHEST
    return min(max(stretch[0], lowest), FARTHEST), min(max(stretch[1], lowest), FARTHEST)


def _beside(bands: list[Stretch], quantity: str) -> list[Stretch]:
    """What lies between, below and above all bands."""
    found = []
    reached, end = _within((-math.inf, math.inf), quantity)
    for low, high in sorted(bands):
        if low > reached:
            found.append((reached, low))
        reached = max(reached, high)
    return [*found, (reached, end)] if reached < end else found


def _share(bands: list[Stretch], span: Stretch, quantity: str) -> float:
    whole = math.fsum(_measure(band, quantity) for band in bands)
    if not whole:
        return 0.0
    low, high = _within(span, quantity)
    met = math.fsum(_measure((max(low, band[0]), min(high, band[1])), quantity) for band in bands)
    return min(met / whole, 1.0)


def _measure(stretch: Stretch, quantity: str) -> float:
    """How much lies between two values; nothing if the second is not above the first."""
    even = EVEN[quantity]
    return max(0.0, math.asinh(stretch[1] / even) - math.asinh(stretch[0] / even))
