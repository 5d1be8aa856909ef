"""From what a person types for a measurement to a value, or to a question about it; never to a guess.

    reading    = [ comparator ] [ sign ] figure [ unit ] | open
    comparator = "<" | ">" | "<=" | ">=" | "less than" | "under" | "below" | "more than" | "over" | "above"
    figure     = digits [ mark digits ] | mark digits            mark = "." | ","
               | digits letter digits                            4R7, 1k2: ohms only, the letter stands for the mark
    open       = "OL" | "O.L" | "open" ...                       ohms only

The letter codes are those of IEC 60062. Whatever else is typed comes back as a `Misread` with the place, a sentence,
and what it could have meant. Nothing is worked out: there are no sums, powers or brackets.
"""

from __future__ import annotations

import math
import re

from coldiron.book.checks import UNITS
from coldiron.readings.figures import Misread, MisreadKind, ReadValue, figures, reading, written
from coldiron.readings.units import ALTERNATING, fold, other, scales, unclear
from coldiron.record import replace

__all__ = ["Misread", "ReadValue", "implausible", "read_figure", "written"]

LIMIT = 64
"""The longest text that is looked at, in characters."""

LARGEST, SMALLEST = 1e9, 1e-9
"""No meter shows more, nor less but zero; in V, A or ohm."""

MOST_SHOWN = {"volts": 100.0, "amps": 2000.0}
"""No machine of 12 or 24 V has more: a point before three figures is no thousands mark above it. Ohms may be any."""

LEAST_VOLTS, MOST_VOLTS = -0.5, 16.5
MOST_AMPS, LEAST_OHMS = 2000.0, 0.001
"""Beyond these a value is questioned: V, V per 12 V of the machine, A, ohm."""

_AS_DIGITS = str.maketrans("oOiIlL", "001111")
_ANY_CASE = re.IGNORECASE | re.ASCII
_MINUS = dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d", "-")
_COMPARATORS = (
    {"<": "<", ">": ">", "<=": "<", ">=": ">", "\u2264": "<", "\u2265": ">"}
    | dict.fromkeys(("less than", "under", "below"), "<")
    | dict.fromkeys(("more than", "over", "above"), ">")
)
_FIGURE = r"[.,]?[0-9][0-9.,'_]*"
_SHAPE = re.compile(
    r"\s*(?P<comparator><=|>=|[<>\u2264\u2265]|(?:less than|under|below|more than|over|above)\b)?"
    rf"\s*(?P<sign>[+-]?)\s*(?P<figure>{_FIGURE})\s*(?P<unit>.*?)\s*",
    _ANY_CASE,
)
_ONE = re.compile(rf"(?:[<>]\s*)?[+-]?{_FIGURE}\s*[^\s0-9.,+_-]*")
_SUM = re.compile(r"[0-9]\s*(?:[*/^+x\u00d7\u00f7\u00b1]|e\s*[+-]?)[*/^+-]*\s*[0-9]", _ANY_CASE)
_LETTER = re.compile(r"\s*([0-9]*)\s*([a-z])\s*([0-9]+)\s*(ohms?|)\s*", _ANY_CASE)
_LABELLED = re.compile(rf"\s*([a-z]+)\s*[:=]?\s*([+-]?{_FIGURE})\s*", _ANY_CASE)
_LOOK_ALIKE = re.compile(r"\s*([+-]?[0-9oil.,]*[0-9.,][0-9oil.,]*)(.*)", _ANY_CASE)
_OPEN = re.compile(r"(0?ol|0l|open|openline|opencircuit|overload|overrange|overlimit)((?:k|m|meg)?(?:ohms?)?)")
_SPLIT = re.compile(r"([^ ]*[0-9])(?= |[.,] ) *([.,]?) *([0-9][^ ]* *[^0-9]*)")
_NOTHING = ("zero", "nil", "nothing", "none", "dead")
_ENDLESS = ("inf", "infinity", "infinite", "endless", "\u221e")


def read_figure(text: str, quantity: str) -> ReadValue | Misread:
    """What a text says of a quantity ("volts", "amps" or "ohms"). No text makes it raise.

    Raises:
        KeyError: there is no such measured quantity.
    """
    example = f"12.6 {UNITS[quantity]}"
    line = "".join(_plain(character) for character in text)
    if len(text) > LIMIT:
        return Misread("long", LIMIT + 1, f"That is too long. Type one figure, for example {example}.")
    if not line.strip():
        return Misread("empty", 1, f"Type the figure the meter shows, for example {example}.")
    for column, character in enumerate(line, start=1):
        if not character.isprintable() or (character.isnumeric() and not character.isascii()):
            return Misread("character", column, f"Only the figures 0 to 9 are read here, for example {example}.")
    found = _open(line, quantity) or _letter_code(line, quantity) or _sum(line, quantity) or _measured(line, quantity)
    if found is None:
        found = Misread("word", _start(line), f"Type the figure the meter shows, for example {example}.")
    if isinstance(found, ReadValue):
        return replace(found, text=text)
    return found if found.could_be else replace(found, could_be=_sure(_guesses(found.kind, line, quantity)))


def _plain(character: str) -> str:
    """One character for one, so that columns stay: one sort of blank, one sort of minus."""
    return " " if character.isspace() else _MINUS.get(character, character)


def _start(line: str) -> int:
    """The column of the first thing typed."""
    return len(line) - len(line.lstrip()) + 1


def _open(line: str, quantity: str) -> ReadValue | Misread | None:
    """What a meter shows, or a person says, when there is no connection."""
    folded = fold(line)
    endless = (reading("inf", quantity),)
    if _OPEN.fullmatch(folded):
        if quantity == "ohms":
            return (
                endless[0]
                if folded.startswith(("o", "0o"))
                else Misread("word", _start(line), "Did the meter show OL?", endless)
            )
        return Misread(
            "range",
            _start(line),
            "That is more than the meter's range. Turn it to a higher range and type the figure it shows.",
        )
    if quantity == "ohms" and folded in _ENDLESS:
        return Misread("word", _start(line), "Did the meter show OL?", endless)
    if folded in _NOTHING:
        meant = (reading("0", quantity), *(endless if quantity == "ohms" else ()))
        return Misread("word", _start(line), "Type the figure the meter shows.", meant)
    return None


def _letter_code(line: str, quantity: str) -> ReadValue | Misread | None:
    """A letter in the place of the decimal mark."""
    match = _LETTER.fullmatch(line)
    if not match:
        return None
    whole, letter, part = match[1], match[2].lower(), match[3]
    tight = " " not in line.strip().removesuffix(match[4]).strip()
    if quantity == "ohms" and tight and (letter == "r" or (letter == "k" and whole)):
        return _sized(reading(f"{whole or 0}.{part}", quantity, 3 if letter == "k" else 0), match.start(2) + 1)
    powers = scales(quantity, letter)
    if not powers or not (whole or quantity == "ohms"):
        return None
    meant = _possible(tuple(reading(f"{whole or 0}.{part}", quantity, power) for power in powers))
    shown = line.strip()
    return Misread("ambiguous", match.start(2) + 1, f"'{shown}' may be a figure with a letter for the point.", meant)


def _sum(line: str, quantity: str) -> Misread | None:
    """Sums, fractions, powers: nothing is worked out."""
    match = _SUM.search(line)
    if not match:
        return None
    return Misread(
        "sum",
        match.start() + 2,
        f"Sums and powers are not worked out here. Type the one figure in full, for example 12.6 {UNITS[quantity]}.",
    )


def _measured(line: str, quantity: str) -> ReadValue | Misread | None:
    """A figure, perhaps with a comparator, a sign and a unit; None when that is not the shape of it."""
    match = _SHAPE.fullmatch(line)
    if not match:
        return None
    unit = match["unit"].rstrip(".")
    if re.search("[0-9]", unit):
        digit = re.compile("[0-9]").search(line, match.start("unit"))
        return Misread("several", digit.start() + 1 if digit else 1, "One figure at a time, please.")
    powers = scales(quantity, unit)
    if not powers:
        return _not_its_unit(quantity, unit, match.start("unit") + 1)
    sign = match["sign"].replace("+", "")
    comparator = _COMPARATORS.get((match["comparator"] or "").lower(), "")
    numbers = figures(match["figure"], MOST_SHOWN.get(quantity, LARGEST))
    meant = tuple(
        reading(sign + number, quantity, power, "" if sign else comparator)
        for number in numbers.could_be
        for power in powers
    )
    place = match.start("figure") + 1
    if meant and not _possible(meant):
        return _sized(meant[0], place)
    meant = _possible(meant)
    if sign and comparator:
        return Misread("sign", match.start("sign") + 1, "Is that a minus? Type the figure without the mark.", meant)
    if numbers.fault:
        return Misread("ambiguous" if meant else "figure", place - 1 + numbers.place, numbers.fault, meant)
    if len(powers) > 1 or unclear(unit):
        sentence = "An m can be milli, a thousandth, or mega, a million." if len(powers) > 1 else "Is the m milli here?"
        return Misread("ambiguous", match.start("unit") + 1, sentence, meant)
    return meant[0]


def _sized(found: ReadValue, place: int) -> ReadValue | Misread:
    """The reading, unless no meter can show it."""
    if found.unit == UNITS["ohms"] and (found.value < 0 or (found.value == 0 and found.comparator == "<")):
        return Misread(
            "sign", place, "Ohms are never below zero. Is there still voltage on the line? Measure again without it."
        )
    if found.value and not SMALLEST <= abs(found.value) <= LARGEST:
        return Misread("size", place, "No meter shows a figure like that.")
    return found


def _possible(meant: tuple[ReadValue, ...]) -> tuple[ReadValue, ...]:
    """Those readings that a meter can show."""
    return tuple(one for one in meant if isinstance(_sized(one, 1), ReadValue))


def _not_its_unit(quantity: str, unit: str, place: int) -> Misread:
    """A figure followed by something that is no unit of the quantity."""
    measured = other(quantity, unit)
    if measured == ALTERNATING:
        return Misread(
            "unit", place, f"'{unit}' is alternating current. Set the meter to direct current and read again."
        )
    if measured:
        return Misread("unit", place, f"'{unit}' is {measured}; {quantity} are asked for.")
    return Misread("word", place, f"'{unit}' is no unit known here; {quantity} are asked for.")


def _guesses(kind: MisreadKind, line: str, quantity: str) -> list[ReadValue | Misread | None]:
    """What a line may mean in which figures stand among other things. Only offered, never taken."""
    if kind == "several":
        return _apart(line, quantity)
    return _among_words(line, quantity) if kind == "word" else []


def _apart(line: str, quantity: str) -> list[ReadValue | Misread | None]:
    """Each figure by itself, or two as one where a blank may have slipped in."""
    if re.search("[0-9][a-z]+[0-9]", line, _ANY_CASE):
        return []
    split = _SPLIT.fullmatch(line.strip())
    if split:
        joined = [_measured(f"{split[1]}{split[2] or '.'}{split[3]}", quantity)]
        if not split[2] and re.match("[0-9]{3}(?![0-9])", split[3]):
            joined.append(_measured(split[1] + split[3], quantity))
        if _sure(joined):
            return joined
    ranges = re.sub("(?<=[0-9a-z])-(?=[0-9])", " ", line, flags=_ANY_CASE)
    return [_hidden(match[0].rstrip(".,"), quantity) for match in _ONE.finditer(ranges)]


def _among_words(line: str, quantity: str) -> list[ReadValue | Misread | None]:
    """The unit put first, letters struck for figures, or a figure among words: the likeliest sort of slip decides."""
    label = _LABELLED.fullmatch(line)
    if label and scales(quantity, label[1]):
        return [_measured(f"{label[2]} {label[1]}", quantity)]
    alike = _LOOK_ALIKE.fullmatch(line)
    if alike and re.search("[oil]", alike[1], _ANY_CASE):
        return [_measured(alike[1].translate(_AS_DIGITS) + alike[2], quantity)]
    return [_hidden(match[0], quantity) for match in _ONE.finditer(line)]


def _hidden(piece: str, quantity: str) -> ReadValue | Misread | None:
    """A figure with the word after it, or without it when that word is no unit at all."""
    found = _measured(piece, quantity)
    if not isinstance(found, Misread) or found.kind != "word":
        return found
    figure = re.match(rf"(?:[<>] *)?[+-]?{_FIGURE}", piece)
    return _measured(figure[0].rstrip(".,'_"), quantity) if figure else None


def _sure(found: list[ReadValue | Misread | None]) -> tuple[ReadValue, ...]:
    """The readings among what was found, and what the unclear ones could be, each once."""
    meant: dict[ReadValue, None] = {}
    for one in found:
        if isinstance(one, ReadValue):
            meant[replace(one, text=str(one))] = None
        elif isinstance(one, Misread):
            meant.update(dict.fromkeys(one.could_be))
    return tuple(meant)


def implausible(value: float, quantity: str, volts: int) -> str | None:
    """Why a value can hardly be so on a machine of 12 or 24 V; None when nothing speaks against it.

    The limits are common practice, no source: boosting goes up to some 16 V per 12 V, a slave battery of 24 V on a
    12 V machine shows up to 30 V, no starter of such a machine takes more than 2000 A. An open line is plausible.
    """
    if math.isinf(value):
        return None
    shown = written(value, UNITS[quantity])
    if quantity == "volts":
        return _odd_volts(value, shown, volts)
    if quantity == "amps" and abs(value) > MOST_AMPS:
        return f"{shown} is more than such a machine can draw. Did the point or the unit get lost?"
    if quantity == "ohms" and 0 < value < LEAST_OHMS:
        return f"{shown} is less than a hand meter shows. Is the unit right?"
    return None


def _odd_volts(value: float, shown: str, volts: int) -> str | None:
    size = abs(value)
    if value < LEAST_VOLTS:
        return f"{shown} is below zero. Are the probes the right way round?"
    if size <= MOST_VOLTS * volts / 12:
        return None
    if volts == 12 and size <= MOST_VOLTS * 2:
        return f"A 24 V machine shows {shown}, and this one has 12 V. Is that right?"
    return f"{shown} cannot be on a {volts} V machine. Did the point get lost, or were they millivolts?"
