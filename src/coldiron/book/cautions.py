"""Cautions, what they are due before, and actions: what a step does to people, and what it then needs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass

SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]

ONCE, DAY = "once", "day"

ENDS = (ONCE, DAY)
"""What may stand alone behind `until` of a caution: this one step, or until a new day."""


@dataclass(frozen=True, slots=True)
class Due:
    """When a caution must be on screen: before a setting takes a value, a check, an area, or a repair."""

    what: Literal["setting", "check", "area", "repair", "start"]
    name: str = ""
    value: str = ""
    faults: FaultRef | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard with its consequence and how to avoid it.

    `type` is the word for the state seen, typed to acknowledge a DANGER or WARNING. `until` says what ends the
    acknowledgement: `once` (it holds for this one step), `day` (until a new day), or settings and questions whose
    change ends it. A repair, a new day, another person and parking always do.
    """

    id: str
    word: SignalWord
    hazard: str
    harm: str
    avoid: str
    type: str
    due: tuple[Due, ...]
    until: tuple[str, ...]
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing by which a step is seen to do something: a setting it asks for, what it reads, where, with what.

    setting(name, value) · reads(name=quantity) · area/kit/point(name) · renews(name=kind): the repair fits a new part
    of that kind · repair(faults) · check/duty(name), answer(name=question, value):
    this very one.
    """

    what: Literal["setting", "reads", "area", "kit", "point", "renews", "repair", "check", "duty", "answer"]
    name: str = ""
    value: str = ""
    faults: FaultRef | None = None


@dataclass(frozen=True, slots=True)
class Need:
    """A step needs one of these cautions due before it, as severe as `word` or more."""

    word: SignalWord
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Action:
    """Something a step does that can hurt, whatever the step is for.

    A step does it if all marks of one of `whens` hold, or one phrase of `says` stands in its text: whole words in their
    order, with at most four others where the phrase has two dots. Such a step has every one of `needs`, and of each of
    `stands` at least one setting at its value.
    """

    id: str
    name: str
    whens: tuple[tuple[Mark, ...], ...]
    says: tuple[str, ...]
    needs: tuple[Need, ...]
    stands: tuple[Mapping[str, str], ...]
    because: str
    source: str
    place: Place = NOWHERE
