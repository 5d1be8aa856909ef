"""From what was typed to a finding of a check."""

from __future__ import annotations

import math
from collections.abc import Iterable

from coldiron.job.question import AnswerError
from coldiron.job.steps import UNKNOWN
from coldiron.model import ODD, OPEN_LINE, UNITS, Band, Check
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

MOST_DIGITS = 9
"""Digits of the number of a choice that are looked at; there are never so many choices."""


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


def understand(check: Check, text: str, volts: int, batteries: int, *, sure: bool = False) -> Understood:
    """Read an answer to a check.

    Raises:
        AnswerError: the answer is no choice, cannot be read, or is implausible (accepted with `sure`).
    """
    plain = " ".join(text.split())
    if plain.lower() in UNKNOWN:
        return NOTHING
    if check.reads.quantity in UNITS:
        return _measured(check, plain, volts, batteries, sure=sure)
    return Understood(choose(plain, [(f.id, f.meaning) for f in check.findings]))


def choose(text: str, choices: Iterable[tuple[str, str]]) -> str:
    """Pick a choice by its id, its words, its number or the beginning that only it has.

    Raises:
        AnswerError: nothing fits, or several do.
    """
    pairs = list(choices)
    wanted = " ".join(text.split()).lower()
    exact = [key for key, meaning in pairs if wanted in (key.lower(), meaning.lower(), key.replace("_", " ").lower())]
    if exact:
        return exact[0]
    if wanted.isdecimal() and len(wanted) <= MOST_DIGITS and 1 <= int(wanted) <= len(pairs):
        return pairs[int(wanted) - 1][0]
    begun = [key for key, meaning in pairs if wanted and (key.startswith(wanted) or meaning.lower().startswith(wanted))]
    if len(begun) == 1 and not _too_short(wanted, begun[0], dict(pairs)[begun[0]]):
        return begun[0]
    said = "is too short to be sure of" if len(begun) == 1 else "fits more than one choice"
    said = said if begun else "is none of the choices"
    raise AnswerError("not a choice", f"'{text}' {said}.", tuple(key for key, _ in pairs))


def choose_several(text: str, choices: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Pick several choices, with commas between them, each once.

    Raises:
        AnswerError: one fits nothing or several, or two cannot both be so.
    """
    from coldiron.readings.slips import together  # noqa: PLC0415 - not needed for the first question

    pairs = list(choices)
    whole = " ".join(text.split()).lower() in {meaning.lower() for _, meaning in pairs}  # a meaning may have commas
    named = tuple(dict.fromkeys(choose(word, pairs) for word in ([text] if whole else text.split(","))))
    wrong = together(named)
    if wrong:
        raise AnswerError("not a choice", wrong, tuple(key for key, _ in pairs))
    return named


def _too_short(wanted: str, key: str, meaning: str) -> bool:
    from coldiron.readings.slips import too_short  # noqa: PLC0415 - only where a word was cut short

    return too_short(wanted, key, meaning)


def _measured(check: Check, text: str, volts: int, batteries: int, *, sure: bool) -> Understood:
    from coldiron.readings.reading import Misread, implausible  # noqa: PLC0415 - not needed for the first question
    from coldiron.readings.slips import slip  # noqa: PLC0415 - likewise
    from coldiron.readings.spans import ends, read  # noqa: PLC0415 - likewise

    quantity = check.reads.quantity
    reading = read(text, quantity)
    if isinstance(reading, Misread):
        could_be = tuple(str(option) for option in reading.could_be)
        raise AnswerError("misread", reading.sentence, could_be, text=text, place=reading.place)
    low, high = ends(reading)
    found = _spanning(check, low, high, volts, batteries)
    doubts = (implausible(value, quantity, volts) for value in (reading.value, reading.top))
    doubt = next((said for said in doubts if said), None)
    if doubt is None and found.finding == ODD:
        doubt = "That falls in no band of this check. Look at the leads and the meter's range, and read again."
    if doubt is None and not reading.comparator:
        doubt = slip(check, text, reading.value, volts, batteries)
    if doubt and not sure:
        raise AnswerError("implausible", doubt, (text,))
    return found


def _spanning(check: Check, low: float, high: float, volts: int, batteries: int) -> Understood:
    """What all values between two come to; a plain figure has both the same."""
    from coldiron.readings.coverage import covered  # noqa: PLC0415 - not needed for the first question

    if low == high:
        return Understood(finding_of(check, low, volts, batteries), low)
    cover = covered(check, low, high, volts, batteries)
    if len(cover) > 1:
        return Understood("", cover=cover)
    return Understood(cover[0][0] if cover else ODD)
