"""From a figure, a limit or a range as it was typed to a finding of a check that is measured."""

from __future__ import annotations

from coldiron.book.checks import ODD, UNITS, Check
from coldiron.readings.coverage import covered
from coldiron.readings.findings import Understood, finding_of
from coldiron.readings.reading import Misread, implausible
from coldiron.readings.refusal import AnswerError
from coldiron.readings.slips import slip
from coldiron.readings.spans import ends, read


def measured(check: Check, text: str, volts: int, batteries: int, *, sure: bool) -> Understood:
    """Read a figure.

    Raises:
        AnswerError: it cannot be read, or is implausible (accepted with `sure`).
    """
    quantity = check.reads.quantity
    reading = read(text, quantity)
    if isinstance(reading, Misread):
        raise _misread(reading, text)
    low, high = ends(reading)
    found = _spanning(check, low, high, volts, batteries)
    doubts = (implausible(value, quantity, volts) for value in (reading.value, reading.top))
    doubt = next((said for said in doubts if said), None)
    if doubt is None and found.finding == ODD:
        doubt = (
            "That reading is in no known range of this check. Check the leads and the meter's range, and read again."
        )
    if doubt is None and not reading.comparator:
        doubt = slip(check, text, reading.value, volts, batteries)
    if doubt and not sure:
        raise AnswerError("implausible", doubt, (text,))
    return found


def _spanning(check: Check, low: float, high: float, volts: int, batteries: int) -> Understood:
    """What all values between two come to; a plain figure has both the same."""
    if low == high:
        return Understood(finding_of(check, low, volts, batteries), low)
    cover = covered(check, low, high, volts, batteries)
    if len(cover) > 1:
        return Understood("", cover=cover)
    return Understood(cover[0][0] if cover else ODD)


def kept(check: Check, text: str) -> str:
    """A reading as it is kept until the machine is known.

    Raises:
        AnswerError: it is no reading, or what is told of this check is not measured.
    """
    quantity = check.reads.quantity
    if quantity not in UNITS:
        raise AnswerError("not now", "Only meter readings can be given before the machine is known.")
    reading = read(text, quantity)
    if isinstance(reading, Misread):
        raise _misread(reading, text)
    return text


def _misread(reading: Misread, text: str) -> AnswerError:
    could_be = tuple(str(option) for option in reading.could_be)
    return AnswerError("misread", reading.sentence, could_be, text=text, place=reading.place)
