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


@dataclass(frozen=True, slots=True)
class AsksForSetting:
    """It asks for a setting at a value."""

    setting: str
    value: str
    form: Literal["setting"] = "setting"


@dataclass(frozen=True, slots=True)
class ReadsQuantity:
    """It reads volts, amps, ohms and so on."""

    quantity: str
    form: Literal["reads"] = "reads"


@dataclass(frozen=True, slots=True)
class IsInArea:
    """It is done in an area."""

    area: str
    form: Literal["area"] = "area"


@dataclass(frozen=True, slots=True)
class UsesKit:
    """It takes a tool, or a pair of hands."""

    kit: str
    form: Literal["kit"] = "kit"


@dataclass(frozen=True, slots=True)
class TouchesPoint:
    """It is done at a point."""

    point: str
    form: Literal["point"] = "point"


@dataclass(frozen=True, slots=True)
class Renews:
    """It is a repair that fits a new part of a kind."""

    kind: str
    form: Literal["renews"] = "renews"


@dataclass(frozen=True, slots=True)
class IsRepair:
    """It is the repair of one of these faults."""

    faults: FaultRef
    form: Literal["repair"] = "repair"


@dataclass(frozen=True, slots=True)
class IsCheck:
    """It is this very check."""

    check: str
    form: Literal["check"] = "check"


@dataclass(frozen=True, slots=True)
class IsDuty:
    """It is this very duty."""

    duty: str
    form: Literal["duty"] = "duty"


@dataclass(frozen=True, slots=True)
class IsAnswer:
    """It is this very answer."""

    question: str
    answer: str
    form: Literal["answer"] = "answer"


Mark = (
    AsksForSetting | ReadsQuantity | IsInArea | UsesKit | TouchesPoint | Renews | IsRepair | IsCheck | IsDuty | IsAnswer
)
"""One thing by which a step is seen to do something; `form` names each in what is kept."""


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
