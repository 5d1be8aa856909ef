"""Readings as records, and what a figure with points and commas can mean."""

from __future__ import annotations

import math
import re
from typing import Literal

from coldiron.book.checks import UNITS
from coldiron.record import dataclass

MisreadKind = Literal[
    "empty", "long", "character", "word", "figure", "ambiguous", "several", "sum", "unit", "sign", "range", "size"
]


@dataclass(frozen=True, slots=True)
class ReadValue:
    """A value as read.

    `value` is in V, A or ohm (`unit`), infinite for an open line; `text` is what was typed; `comparator` is "", "<",
    ">", "~" for "about", or "to" for a range from `value` to `top`.
    """

    value: float
    text: str
    comparator: str
    unit: str
    top: float = 0.0

    def __str__(self) -> str:
        """As it is shown, and as it would be typed to mean exactly this."""
        if self.comparator == "to":
            return f"{written(self.value, self.unit)} to {written(self.top, self.unit)}"
        about = "about " if self.comparator == "~" else ""
        return about + written(self.value, self.unit, "" if about else self.comparator)


@dataclass(frozen=True, slots=True)
class Misread:
    """Why a text is no reading: what is wrong, the column from 1 where, in words, and what it could have meant."""

    kind: MisreadKind
    place: int
    sentence: str
    could_be: tuple[ReadValue, ...] = ()


def written(value: float, unit: str, comparator: str = "") -> str:
    """A value as text that is read back as the very same value: plain figures, no power of ten.

    For 0 and for sizes from 1e-9 to 1e9, and for an infinite value, which is an open line.
    """
    if math.isinf(value):
        return "OL"
    digits = repr(value)
    if "e-" in digits:  # the point is moved, not the value rounded once more
        mantissa, power = digits.lstrip("-").split("e-")
        digits = f"{'-' * (value < 0)}0.{'0' * (int(power) - 1)}{mantissa.replace('.', '')}"
    digits = digits.removesuffix(".0")
    if _THOUSANDS.fullmatch(digits) and (unit == UNITS["ohms"] or abs(value) < 10):
        digits += "0"  # three figures after the point may be thousands: a nought more says they are not
    return f"{comparator}{digits} {unit}"


def spanned(low: float, high: float, unit: str) -> ReadValue:
    """The reading of a range; of a plain figure if both ends are the same."""
    if low == high:
        return ReadValue(low, written(low, unit), "", unit)
    found = ReadValue(low, "", "to", unit, high)
    return ReadValue(low, str(found), "to", unit, high)


def reading(number: str, quantity: str, power: int = 0, comparator: str = "") -> ReadValue:
    """The reading of a plain number (digits, a point, a minus) times a power of ten."""
    unit = UNITS[quantity]
    value = float(number) if number == "inf" else float(f"{number}e{power}")
    value += 0.0  # no minus before a nought
    return ReadValue(value, written(value, unit, comparator), comparator, unit)


_THOUSANDS = re.compile("-?[1-9][0-9]{0,2}[.][0-9]{3}")

OTHER_MARKS = "'_"
"""Marks that some put before thousands, beside point and comma."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What a figure can mean, as plain numbers. `fault` says why it is not sure, at `place` counted from 1 in it."""

    could_be: tuple[str, ...]
    fault: str = ""
    place: int = 0


def figures(text: str, most: float = math.inf) -> Figures:
    """Read digits with points, commas and other marks among them. There is at least one digit.

    `most` is the largest number that thousands behind a point are taken for.

    A single mark is a decimal mark, unless it may stand before thousands.
    """
    marks = [index for index, character in enumerate(text) if not character.isdigit()]
    if not marks:
        return _whole(text)
    last = marks[-1]
    if last == len(text) - 1:
        return Figures(figures(text[:-1], most).could_be, f"'{text}' looks unfinished.", len(text))
    if len(marks) == 1:
        return _one_mark(text, last, most)
    return Figures(_many_marks(text, marks), f"'{text}' has more than one mark in it.", marks[1] + 1)


def _whole(text: str) -> Figures:
    plain = text.lstrip("0")
    if text.startswith("0") and plain and len(text) > 1:
        return Figures((plain, f"0.{text[1:]}"), f"'{text}' begins with a zero. Is a point missing?", 1)
    return Figures((plain or "0",))


def _one_mark(text: str, at: int, most: float) -> Figures:
    whole, part = text[:at], text[at + 1 :]
    number = f"{whole or '0'}.{part}"
    thousands = _grouped(text, text[at])
    if text[at] in OTHER_MARKS:
        return Figures(thousands, f"'{text}' has a mark in it that is neither point nor comma.", at + 1)
    if thousands and (text[at] == "," or float(thousands[0]) <= most):
        mark = "comma" if text[at] == "," else "point"
        return Figures((number, *thousands), f"The {mark} in '{text}' may stand before decimals or thousands.", at + 1)
    return Figures((number,))


def _many_marks(text: str, marks: list[int]) -> tuple[str, ...]:
    last = marks[-1]
    if marks == list(range(marks[0], last + 1)):  # 12..6: one mark, struck twice
        return (f"{text[: marks[0]] or '0'}.{text[last + 1 :]}",)
    kinds = {text[index] for index in marks[:-1]}
    if len(kinds) != 1:
        return ()
    (mark,) = kinds
    if text[last] == mark:
        return _grouped(text, mark)
    if text[last] in OTHER_MARKS:
        return ()
    return tuple(f"{whole}.{text[last + 1 :]}" for whole in _grouped(text[:last], mark))


def _grouped(text: str, mark: str) -> tuple[str, ...]:
    """The number without its thousands marks, if every group after the first has three digits."""
    first, *others = text.split(mark)
    if first and first[0] != "0" and len(first) <= 3 and all(len(group) == 3 for group in others):
        return (first + "".join(others),)
    return ()
