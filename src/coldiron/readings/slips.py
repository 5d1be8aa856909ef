"""Likely slips of the finger: asked about once, and taken if they are typed again."""

from __future__ import annotations

import re

from coldiron.book.checks import UNITS, Check
from coldiron.readings.findings import finding_of
from coldiron.readings.units import scales

_TYPED = re.compile(r"\s*[+-]?\s*([0-9.,]+)\s*(\D*?)[\s.]*")


def slip(check: Check, text: str, value: float, volts: int, batteries: int) -> str | None:
    """What may have been meant by a plain figure with a prefix too many or a digit too few; None if nothing.

    It is asked only where the figure without its prefix, or any figure with a digit before the point, would be what a
    sound machine shows, and the figure as typed is not. Prefixes are those of the SI.
    """
    match = _TYPED.fullmatch(text)
    good = next((finding for finding in check.findings if finding.id == check.good), None)
    if not match or good is None or finding_of(check, value, volts, batteries) == check.good:
        return None
    unit = UNITS[check.reads.quantity]
    figure = match[1].replace(",", ".")
    powers = scales(check.reads.quantity, match[2])
    if powers and powers[0] < 0 and finding_of(check, value / 10.0 ** powers[0], volts, batteries) == check.good:
        return f"'{text}' is {value:.4g} {unit}. Was {figure} {unit} meant?"
    if figure.startswith(".") and not any(band.low < 1 for band in good.bands):
        return f"'{text}' is {value:.4g} {unit}. Did a figure before the point get lost?"
    return None
