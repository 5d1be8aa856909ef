"""What a rule can bring about, one record a form."""

from __future__ import annotations

from typing import Literal

from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class ConcludesFact:
    """A fact holds."""

    fact: str
    place: Place = NOWHERE
    form: Literal["conclude"] = "conclude"


@dataclass(frozen=True, slots=True)
class ShiftsOdds:
    """The odds of faults are so many times what they were."""

    faults: FaultRef
    factor: float
    place: Place = NOWHERE
    form: Literal["shift"] = "shift"


@dataclass(frozen=True, slots=True)
class AllowsCheck:
    """A check is asked though the complaint has told it."""

    check: str
    place: Place = NOWHERE
    form: Literal["allow"] = "allow"


@dataclass(frozen=True, slots=True)
class ForbidsCheck:
    """A check is not asked."""

    check: str
    place: Place = NOWHERE
    form: Literal["forbid"] = "forbid"


@dataclass(frozen=True, slots=True)
class LeavesSetting:
    """No step changes a setting from this value, but a look at a machine at rest."""

    setting: str
    value: str
    place: Place = NOWHERE
    form: Literal["leave"] = "leave"


@dataclass(frozen=True, slots=True)
class AvoidsValue:
    """No step brings a setting to this value."""

    setting: str
    value: str
    place: Place = NOWHERE
    form: Literal["avoid"] = "avoid"


@dataclass(frozen=True, slots=True)
class AsksSooner:
    """A check is asked so many times sooner."""

    check: str
    factor: float
    place: Place = NOWHERE
    form: Literal["ask"] = "ask"


@dataclass(frozen=True, slots=True)
class WarnsOf:
    """A caution is due."""

    caution: str
    place: Place = NOWHERE
    form: Literal["warn"] = "warn"


@dataclass(frozen=True, slots=True)
class RequiresCheck:
    """No verdict on faults before a check is made."""

    check: str
    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["require"] = "require"


@dataclass(frozen=True, slots=True)
class CountsInstead:
    """A finding of a check takes the place of what other checks say about some faults."""

    check: str
    finding: str
    replaces: tuple[str, ...]
    about: tuple[FaultRef, ...]
    place: Place = NOWHERE
    form: Literal["count"] = "count"


@dataclass(frozen=True, slots=True)
class Advises:
    """Words for the screen."""

    text: str
    place: Place = NOWHERE
    form: Literal["advise"] = "advise"


Conclusion = (
    ConcludesFact
    | ShiftsOdds
    | AllowsCheck
    | ForbidsCheck
    | LeavesSetting
    | AvoidsValue
    | AsksSooner
    | WarnsOf
    | RequiresCheck
    | CountsInstead
    | Advises
)
"""What a rule brings about; `form` names each in the facts of the engine and in what is kept."""
