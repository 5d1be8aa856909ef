"""The catalogue of mistakes: every kind of problem with its wording and an example.

One table serves three readers: the language and the audit word their problems from it, the tests check that each
example gives exactly its sentence at its place, and the manual prints it.
"""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.problem import Problem, Weight
from coldiron.book.source import Place
from coldiron.mistakes.entry import Mistake
from coldiron.mistakes.form import DISK, FORM
from coldiron.mistakes.meaning import MEANING
from coldiron.mistakes.whole import WHOLE

__all__ = ["CATALOGUE", "DISK", "FORM", "MEANING", "WHOLE", "Mistake", "filled", "mistake"]

CATALOGUE: dict[str, Mistake] = {entry.kind: entry for entry in (*DISK, *FORM, *MEANING, *WHOLE)}
"""Every kind of problem, by its id: mistakes of the folder, of form, of meaning, and of the book as a whole."""


def mistake(
    kind: str,
    place: Place,
    /,
    *,
    allowed: tuple[str, ...] = (),
    nearest: str = "",
    related: tuple[tuple[str, Place], ...] = (),
    **filling: object,
) -> Problem:
    """Make a problem of a kind in the catalogue, its sentence filled in with the keywords that are left."""
    return filled(kind, place, filling, allowed=allowed, nearest=nearest, related=related)


def filled(
    kind: str,
    place: Place,
    filling: Mapping[str, object],
    *,
    allowed: tuple[str, ...] = (),
    nearest: str = "",
    related: tuple[tuple[str, Place], ...] = (),
) -> Problem:
    """Make a problem of a kind in the catalogue, its sentence filled in from a mapping."""
    entry = CATALOGUE[kind]
    weight: Weight = "warning" if entry.warning else "error"
    return Problem(kind, place, entry.wording.format_map(filling), allowed, nearest, related, weight)
