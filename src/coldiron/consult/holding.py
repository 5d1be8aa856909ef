"""Readings given where nobody asked for them: from the first page on, by the name of the check or by words for it.

What is read before the machine is known is kept as it was typed, and judged against the machine's own volts once they
are known.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from coldiron.job.question import AnswerError
from coldiron.model import UNITS, Book

if TYPE_CHECKING:
    from coldiron.consult.session import Consultation

_READING = r"(?:[<>~]\s*)?[+-]?\s*[.,]?[0-9][0-9.,]*\s*(?P<unit>[a-z\u03a9\u00b5]*)"
_BEHIND = re.compile(rf"(?P<words>[a-z][a-z ,:'-]*?)[ :=]+(?P<reading>{_READING})", re.IGNORECASE)
_BEFORE = re.compile(rf"(?P<reading>{_READING})\s+(?P<words>[a-z][a-z ,'-]*)", re.IGNORECASE)
_ALONE = re.compile(rf"(?P<reading>{_READING})", re.IGNORECASE)
_SMALL = frozenset(
    ("a", "at", "the", "of", "on", "to", "in", "is", "are", "it", "was", "reads", "reading", "with", "and")
)
SHOWN = 6
"""Checks that are listed where several fit."""


def kept(book: Book, check: str, text: str) -> str:
    """A reading of a check of the book as it is kept until the machine is known.

    Raises:
        AnswerError: it is no reading, or what is told of this check is not measured.
    """
    from coldiron.readings.figures import Misread  # noqa: PLC0415 - not needed for the first question
    from coldiron.readings.spans import read  # noqa: PLC0415 - likewise

    quantity = book.checks[check].reads.quantity
    if quantity not in UNITS:
        raise AnswerError("not now", "That can be told once the machine is known. Figures of a meter are kept now.")
    reading = read(text, quantity)
    if isinstance(reading, Misread):
        could_be = tuple(str(option) for option in reading.could_be)
        raise AnswerError("misread", reading.sentence, could_be, text=text, place=reading.place)
    return text


def in_words(consultation: Consultation, line: str) -> tuple[str, str] | None:
    """The check and the reading that a line tells in words: `battery volts at rest 12.4`. None if it tells none.

    Raises:
        AnswerError: several checks fit the words, or a figure with a unit stands alone.
    """
    from coldiron.readings.units import scales  # noqa: PLC0415 - not needed for the first question

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
    checks = _measured(consultation, quantities)
    found = [(name, ask) for name, ask in checks if named and all(_stem(word) in ask.lower() for word in named)]
    begun = [name for name, ask in found if ask.lower().startswith(" ".join(words))]
    reading = match["reading"].strip()
    if len(found) == 1 or len(begun) == 1:
        return (begun or [found[0][0]])[0], reading
    if found or alone:
        raise AnswerError("unknown question", _which(found, reading))
    return None


def _measured(consultation: Consultation, quantities: set[str]) -> list[tuple[str, str]]:
    """The checks that may be meant, with what they ask for: those of the machine, or all of the book."""
    book, setup = consultation.book, consultation.setup
    names = setup.machine.checks if setup is not None else tuple(book.checks)
    checks = [book.checks[name] for name in names]
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
