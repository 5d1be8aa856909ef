"""Mistakes in a user's text as data: what is wrong, where, what could stand there, and the nearest word.

A problem is a value, never an exception: whoever reads a text returns its problems beside the result.
The wording of every kind stands in `coldiron.mistakes`; the drawing in `coldiron.drawing`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from coldiron.book.source import Place
from coldiron.record import dataclass

ALIKE = 0.65
"""A word is offered as a suggestion where of its letters and those of what stands there this share is common to both.

With one letter wrong in three, or two swapped, it is two thirds.
"""

Weight = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake: its kind, its place, a plain sentence, and what helps to mend it.

    `allowed` lists what could stand there, `nearest` the word most likely meant (empty if none is near), `related`
    other places that belong to it, each with a note. An `error` keeps the entry out of use; a `warning` does not.
    """

    kind: str
    place: Place
    sentence: str
    allowed: tuple[str, ...] = ()
    nearest: str = ""
    related: tuple[tuple[str, Place], ...] = ()
    weight: Weight = "error"

    def __str__(self) -> str:
        """One line: place and sentence."""
        return f"{self.place}: {self.sentence}"


def errors(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return those of some problems that keep what they are about out of use."""
    return tuple([one for one in problems if one.weight == "error"])


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the word most like `word`, or nothing if none is near."""
    from difflib import get_close_matches  # noqa: PLC0415 - only for a mistake: 3 ms that no other start pays

    return next(iter(get_close_matches(word, sorted({*words} - {word}), 1, ALIKE)), "")
