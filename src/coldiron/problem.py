"""Mistakes in a user's text as data: what is wrong, where, what could stand there, and the nearest word.

A problem is a value, never an exception: whoever reads a text returns its problems beside the result.
The wording of every kind stands in `coldiron.mistakes`; the drawing in `coldiron.drawing`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from coldiron.record import dataclass
from coldiron.source import Place

NEAR = 2
"""A word is offered as a suggestion when at most this many slips of the fingers lie between."""

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


def slips(one: str, other: str, limit: int = NEAR) -> int:
    """Count the slips between two words: a letter more, less, wrong, or two swapped; `limit + 1` if there are more.

    The optimal string alignment distance (Damerau 1964), stopped as soon as it passes the limit.
    """
    if abs(len(one) - len(other)) > limit:
        return limit + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        last, row = row, [i] + [0] * len(other)
        for j, match in enumerate(other, 1):
            row[j] = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (letter != match))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == match:
                row[j] = min(row[j], before[j - 2] + 1)
        if min(row) > limit:
            return limit + 1
        before = last
    return min(row[-1], limit + 1)


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the word most like `word`, or nothing if none is near; short words must be nearer than long ones."""
    limit = min(NEAR, max(1, len(word) // 3))
    best, least = "", limit + 1
    for candidate in sorted(set(words)):
        count = slips(word, candidate, limit)
        if count < least and candidate != word:
            best, least = candidate, count
    return best
