"""Cautions, and what they are due before."""

from __future__ import annotations

from typing import Literal

from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass

SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]

ONCE, DAY = "once", "day"

ENDS = (ONCE, DAY)
"""What may stand alone behind `until` of a caution: this one step, or until a new day."""


@dataclass(frozen=True, slots=True)
class BeforeSetting:
    """Before a setting takes a value."""

    setting: str
    value: str
    form: Literal["setting"] = "setting"


@dataclass(frozen=True, slots=True)
class BeforeCheck:
    """Before a check, or before every check made of a template."""

    check: str
    form: Literal["check"] = "check"


@dataclass(frozen=True, slots=True)
class BeforeArea:
    """Before an area is opened."""

    area: str
    form: Literal["area"] = "area"


@dataclass(frozen=True, slots=True)
class BeforeRepair:
    """Before one of these faults is repaired."""

    faults: FaultRef
    form: Literal["repair"] = "repair"


@dataclass(frozen=True, slots=True)
class BeforeStart:
    """Before the first step of a job."""

    form: Literal["start"] = "start"


Due = BeforeSetting | BeforeCheck | BeforeArea | BeforeRepair | BeforeStart
"""When a caution must be on screen; `form` names each in what is kept."""


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
