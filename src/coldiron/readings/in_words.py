"""A reading told in words, where nobody asked for it: what was measured, and the figure."""

from __future__ import annotations

import re
from collections.abc import Iterable

from coldiron.book.checks import UNITS, Check
from coldiron.readings.other_words import in_book_words
from coldiron.readings.refusal import AnswerError
from coldiron.readings.units import scales

_READING = r"(?:[<>~]\s*)?[+-]?\s*[.,]?[0-9][0-9.,]*\s*(?P<unit>[a-z\u03a9\u00b5]*)"
_BEHIND = re.compile(rf"(?P<words>[a-z][a-z ,:'-]*?)[ :=]+(?P<reading>{_READING})", re.IGNORECASE)
_BEFORE = re.compile(rf"(?P<reading>{_READING})\s+(?P<words>[a-z][a-z ,'-]*)", re.IGNORECASE)
_ALONE = re.compile(rf"(?P<reading>{_READING})", re.IGNORECASE)
_SMALL = frozenset(
    ("a", "at", "the", "of", "on", "to", "in", "is", "are", "it", "was", "reads", "reading", "with", "and")
)
SHOWN = 6
"""Checks that are listed where several fit."""


def in_words(checks: Iterable[Check], line: str) -> tuple[str, str] | None:
    """The check and the reading that a line tells in words: `battery volts at rest 12.4`. None if it tells none.

    Raises:
        AnswerError: several checks fit the words, or a figure with a unit stands alone.
    """
    alone = _ALONE.fullmatch(line)
    match = alone or _BEHIND.fullmatch(line) or _BEFORE.fullmatch(line)
    if not match:
        return None
    unit = match["unit"]
    quantities = {quantity for quantity in UNITS if not unit or scales(quantity, unit)}
    if alone and (not unit or not quantities):
        return None
    words = [] if alone else [word.lower() for word in re.findall("[a-z]+", match["words"], re.IGNORECASE)]
    named = [word for word in words if word not in _SMALL]
    named_checks = _measured(checks, quantities)
    found = _fitting(named_checks, named) or _fitting(named_checks, in_book_words(" ".join(named)).split())
    begun = [name for name, ask in found if ask.lower().startswith((" ".join(words), in_book_words(" ".join(words))))]
    reading = match["reading"].strip()
    if len(found) == 1 or len(begun) == 1:
        return (begun or [found[0][0]])[0], reading
    if found or alone:
        raise AnswerError("unknown question", _which(found, reading))
    return None


def _fitting(checks: list[tuple[str, str]], named: list[str]) -> list[tuple[str, str]]:
    """Those of some checks that have all the words."""
    return [(name, ask) for name, ask in checks if named and all(_stem(word) in ask.lower() for word in named)]


def _measured(checks: Iterable[Check], quantities: set[str]) -> list[tuple[str, str]]:
    """Those of some checks that may be meant, with what they ask for."""
    return [(check.id, check.ask) for check in checks if check.reads.quantity in quantities]


def _stem(word: str) -> str:
    """A word without the s of several."""
    return word.removesuffix("s") if len(word) > 3 else word


def _which(found: list[tuple[str, str]], reading: str) -> str:
    listed = "; ".join(f"{name} {reading} ({ask})" for name, ask in found[:SHOWN])
    more = f"; and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    if not found:
        return f"{reading} of what? Type what was measured before it, such as: battery volts at rest {reading}"
    return f"{reading} fits several. Type one of these: {listed}{more}."
