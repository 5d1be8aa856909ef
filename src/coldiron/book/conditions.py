"""What a rule can ask for, one record a form."""

from __future__ import annotations

from typing import Literal

from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass

Way = Literal["above", "below"]


@dataclass(frozen=True, slots=True)
class ComplaintIs:
    """The machine has this complaint."""

    complaint: str
    form: Literal["complaint"] = "complaint"


@dataclass(frozen=True, slots=True)
class AnswerIs:
    """A question was answered so."""

    question: str
    answer: str
    form: Literal["history"] = "history"


@dataclass(frozen=True, slots=True)
class FindingIs:
    """A check has found this."""

    check: str
    finding: str
    form: Literal["finding"] = "finding"


@dataclass(frozen=True, slots=True)
class CheckMade:
    """A check was made, whatever it found."""

    check: str
    form: Literal["taken"] = "taken"


@dataclass(frozen=True, slots=True)
class ReadingAgainst:
    """The reading of a check is above or below a figure."""

    check: str
    way: Way
    figure: float
    form: Literal["figure"] = "figure"


@dataclass(frozen=True, slots=True)
class ReadingsAgainst:
    """The reading of a check is above or below that of another by a margin."""

    check: str
    way: Way
    other: str
    margin: float = 0.0
    form: Literal["reading"] = "reading"


@dataclass(frozen=True, slots=True)
class PartIsThere:
    """The machine has this part."""

    part: str
    form: Literal["has"] = "has"


@dataclass(frozen=True, slots=True)
class SettingIs:
    """A setting stands so."""

    setting: str
    value: str
    form: Literal["setting"] = "setting"


@dataclass(frozen=True, slots=True)
class FactHolds:
    """A rule has concluded this fact."""

    fact: str
    form: Literal["fact"] = "fact"


@dataclass(frozen=True, slots=True)
class RepairMade:
    """One of these faults was repaired."""

    faults: FaultRef
    form: Literal["repaired"] = "repaired"


@dataclass(frozen=True, slots=True)
class CodeGiven:
    """The controller gave this trouble code."""

    code: str
    form: Literal["code"] = "code"


@dataclass(frozen=True, slots=True)
class ControllerTalks:
    """The controller gave any trouble code."""

    form: Literal["talks"] = "talks"


Test = (
    ComplaintIs
    | AnswerIs
    | FindingIs
    | CheckMade
    | ReadingAgainst
    | ReadingsAgainst
    | PartIsThere
    | SettingIs
    | FactHolds
    | RepairMade
    | CodeGiven
    | ControllerTalks
)
"""What a rule can ask for; `form` names each in the facts of the engine and in what is kept."""


def checks_of(test: Test) -> tuple[str, ...]:
    """Return the checks a test speaks of."""
    match test:
        case FindingIs() | CheckMade() | ReadingAgainst():
            return (test.check,)
        case ReadingsAgainst():
            return (test.check, test.other)
    return ()


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that must hold (or, with `negated`, not hold) for a rule."""

    test: Test
    negated: bool = False
    place: Place = NOWHERE
