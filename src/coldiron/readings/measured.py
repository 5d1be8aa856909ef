"""From a figure, a limit or a range as it was typed to a finding of a check that is measured, slips asked about."""

from __future__ import annotations

import re

from coldiron.book.checks import ODD, UNITS, Check
from coldiron.readings.coverage import covered
from coldiron.readings.findings import Understood, finding_of
from coldiron.readings.reading import Misread, implausible
from coldiron.readings.refusal import AnswerError
from coldiron.readings.spans import ends, read
from coldiron.readings.units import scales
from coldiron.record import dataclass

NO_RANGE = "That reading is in no known range of this check. Check the leads and the meter's range, and read again."


def measured(check: Check, text: str, volts: int, batteries: int, *, sure: bool) -> Understood:
    """Read a figure.

    Raises:
        AnswerError: it cannot be read, or is implausible (accepted with `sure`).
    """
    key = (check.id, text, volts, batteries)
    known = _heard.get(key)
    if known is None or known[0] is not check:
        if len(_heard) >= MOST_HEARD:
            _heard.clear()
        known = _heard[key] = check, _hear(check, text, volts, batteries)
    heard = known[1]
    if isinstance(heard, Misread):
        raise _misread(heard, text)
    if heard.doubt and not sure:
        raise AnswerError("implausible", heard.doubt, (text,))
    return heard.understood


@dataclass(frozen=True, slots=True)
class FigureRead:
    """What a figure comes to at a check of one sort of machine, and why it can hardly be so; empty if it can."""

    understood: Understood
    doubt: str


_heard: dict[tuple[str, str, int, int], tuple[Check, FigureRead | Misread]] = {}
"""What was read: a figure is asked after where it is typed, where the log is folded, and where dangers are seen to."""

MOST_HEARD = 2000
"""So many are kept: those of the longest jobs, several times over."""


def _hear(check: Check, text: str, volts: int, batteries: int) -> FigureRead | Misread:
    quantity = check.reads.quantity
    reading = read(text, quantity)
    if isinstance(reading, Misread):
        return reading
    low, high = ends(reading)
    found = _spanning(check, low, high, volts, batteries)
    doubts = (implausible(value, quantity, volts) for value in (reading.value, reading.top))
    doubt = next((said for said in doubts if said), None)
    if doubt is None and found.finding == ODD:
        doubt = NO_RANGE
    if doubt is None and not reading.comparator:
        doubt = slip(check, text, reading.value, volts, batteries)
    return FigureRead(found, doubt or "")


def _spanning(check: Check, low: float, high: float, volts: int, batteries: int) -> Understood:
    """What all values between two come to; a plain figure has both the same."""
    if low == high:
        return Understood(finding_of(check, low, volts, batteries), low)
    cover = covered(check, low, high, volts, batteries)
    if len(cover) > 1:
        return Understood("", cover=cover)
    return Understood(cover[0][0] if cover else ODD)


def kept(quantity: str, text: str) -> str:
    """A reading as it is kept until the machine is known.

    Raises:
        AnswerError: it is no reading.
    """
    reading = read(text, quantity)
    if isinstance(reading, Misread):
        raise _misread(reading, text)
    return text


def _misread(reading: Misread, text: str) -> AnswerError:
    could_be = tuple(str(option) for option in reading.could_be)
    return AnswerError("misread", reading.sentence, could_be, text=text, place=reading.place)


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
