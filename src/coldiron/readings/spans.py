"""What is typed where a figure is not sure: a limit, a range, a figure and "or so". What it leaves open stays open.

    span  = [ limit ] reading | reading ( "or so" | "or less" | "or more" ) | ( "about" | "~" ) reading
          | [ "between" | "from" ] reading ( "to" | "and" | "falling to" | "rising to" | ... ) reading

A limit is any of the comparators of `coldiron.readings.reading` and some more words for them. The first figure of a
range takes the unit of the second where it has none of its own. Units are written as in ISO 80000-1 (SI).
"""

from __future__ import annotations

import math
import re

from coldiron.book.checks import UNITS
from coldiron.readings.figures import Misread, ReadValue, spanned
from coldiron.readings.reading import LIMIT, read_figure
from coldiron.record import replace

ABOUT = 0.1
"""How far a figure "or so" may be off, as a share of it: common practice, no source."""

_CASE = re.IGNORECASE
_LOWER = r"no more than|not more than|at most|at the most|up to|less than|lower than|smaller than|under|below"
_HIGHER = r"no less than|not less than|at least|upwards of|more than|greater than|higher than|bigger than|over|above"
_LIMIT = re.compile(rf"\s*(?:(?P<lower>{_LOWER})|(?P<higher>{_HIGHER}))(?=\s*[+-]?\s*[.,]?\d)", _CASE)
_BEHIND = re.compile(
    r"\s*(?:(?P<lower>(?:or|and) (?:less|lower|under|below|smaller))"
    r"|(?P<higher>(?:or|and) (?:more|higher|over|above|up|bigger))|(?P<about>or so|or thereabouts|roughly))[\s.]*$",
    _CASE,
)
_ROUGH = re.compile(
    r"\s*(?:about|around|roughly|approximately|approx\.?|circa|ca\.?|near enough|some|~)(?=\s*[+-]?\s*[.,]?\d)", _CASE
)
_BETWEEN = re.compile(r"\s*between\s+(?P<low>.+?)\s+(?P<word>and|to)\s+(?P<high>.+)", _CASE)
_CHANGE = r"falling|dropping|sinking|going|down|rising|climbing|up|then"
_RANGE = re.compile(
    rf"\s*(?:from\s+)?(?P<low>.+?)\s+(?P<word>(?:(?:{_CHANGE})\s+)*to|(?:{_CHANGE}))\s+(?P<high>.+)", _CASE
)
_BARE = re.compile(r"[+-]?\s*[.,]?[0-9][0-9.,]*")


def read(text: str, quantity: str) -> ReadValue | Misread:
    """What a text says of a quantity ("volts", "amps" or "ohms"), limits and ranges included. No text makes it raise.

    Raises:
        KeyError: there is no such measured quantity.
    """
    line = "".join(" " if character.isspace() else character for character in text)
    if len(text) > LIMIT or not line.isprintable():
        return read_figure(text, quantity)
    found = _between(line, quantity) or _limited(line, quantity) or _about(line, quantity)
    if found is None:
        return read_figure(text, quantity)
    return replace(found, text=text) if isinstance(found, ReadValue) else found


def _between(line: str, quantity: str) -> ReadValue | Misread | None:
    """Two figures and what lies between them."""
    match = _BETWEEN.fullmatch(line) or _RANGE.fullmatch(line)
    if not match or not re.search("[0-9]", match["low"]) or not re.search("[0-9]|^[o0.]+l", match["high"], _CASE):
        return None
    high = read_figure(match["high"], quantity)
    unit = re.sub(r"^[+-]?\s*[0-9.,]+\s*", "", match["high"].strip())
    shared = _BARE.fullmatch(match["low"].strip()) and isinstance(high, ReadValue) and math.isfinite(high.value)
    low = read_figure(f"{match['low']} {unit}" if shared else match["low"], quantity)
    for end, name in ((high, "high"), (low, "low")):
        if isinstance(end, Misread):
            return replace(end, place=min(match.start(name) + end.place, len(line)), could_be=())
        if end.comparator:
            return Misread("figure", match.start(name) + 1, "Type two plain figures: what lies between them is meant.")
    if isinstance(low, Misread) or isinstance(high, Misread):
        return None  # both were told above
    return spanned(min(low.value, high.value), max(low.value, high.value), UNITS[quantity])


def _limited(line: str, quantity: str) -> ReadValue | Misread | None:
    """A figure with a limit in words before or behind it."""
    match = _LIMIT.match(line)
    if match:
        mark = "<" if match["lower"] else ">"
        return read_figure(mark + " " * (match.end() - 1) + line[match.end() :], quantity)
    match = _BEHIND.search(line)
    if not match or match["about"]:
        return None
    found = read_figure(line[: match.start()], quantity)
    if isinstance(found, Misread) or found.comparator:
        return found if isinstance(found, Misread) else None
    limited = read_figure(f"{'<' if match['lower'] else '>'}{found}", quantity)
    return replace(limited, place=1) if isinstance(limited, Misread) else limited


def _about(line: str, quantity: str) -> ReadValue | Misread | None:
    """A figure that may be somewhat off."""
    match = _ROUGH.match(line)
    behind = _BEHIND.search(line)
    if match:
        rest = " " * match.end() + line[match.end() :]
    elif behind and behind["about"]:
        rest = line[: behind.start()]
    else:
        return None
    found = read_figure(rest, quantity)
    if isinstance(found, Misread) or found.comparator or not math.isfinite(found.value):
        return found
    return replace(found, comparator="~")


def ends(found: ReadValue) -> tuple[float, float]:
    """The lowest and the highest value that a reading leaves open, in its unit; both the same for a plain figure."""
    value = found.value
    if found.comparator == "~":
        return value - abs(value) * ABOUT, value + abs(value) * ABOUT
    if found.comparator == "to":
        return value, found.top
    if found.comparator == "<":
        return (0.0 if found.unit == UNITS["ohms"] else -math.inf), value
    return value, math.inf if found.comparator == ">" else value
