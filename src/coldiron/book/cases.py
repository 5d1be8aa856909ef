"""Cases: worked examples of a book, run as tests."""

from __future__ import annotations

from typing import Literal

from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Given:
    """One answer in a case: a reading as typed, a finding, a history answer, or a trouble code (its id is `code`).

    `epoch` counts repairs before it.
    """

    id: str
    value: str
    epoch: int = 0
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class ExpectsFirst:
    """One of these faults leads."""

    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["first"] = "first"


@dataclass(frozen=True, slots=True)
class ExpectsAmong:
    """One of these faults is among the leading three."""

    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["among"] = "among"


@dataclass(frozen=True, slots=True)
class ExpectsNot:
    """These faults have at most 5 in 100 together."""

    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["not"] = "not"


@dataclass(frozen=True, slots=True)
class ExpectsHeld:
    """There is no verdict on these faults yet."""

    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["held"] = "held"


@dataclass(frozen=True, slots=True)
class ExpectsNext:
    """This is asked next."""

    check: str
    place: Place = NOWHERE
    form: Literal["next"] = "next"


@dataclass(frozen=True, slots=True)
class ExpectsWarned:
    """This caution is due."""

    caution: str
    place: Place = NOWHERE
    form: Literal["warned"] = "warned"


@dataclass(frozen=True, slots=True)
class ExpectsTold:
    """Advice has these words."""

    text: str
    place: Place = NOWHERE
    form: Literal["told"] = "told"


Expect = ExpectsFirst | ExpectsAmong | ExpectsNot | ExpectsHeld | ExpectsNext | ExpectsWarned | ExpectsTold
"""What a case must lead to; `form` names each in what is kept."""


@dataclass(frozen=True, slots=True)
class Case:
    """A worked example in the book, run as a test. `repaired[k]` is repaired after the answers of epoch k."""

    id: str
    name: str
    circuit: str
    complaint: str
    given: tuple[Given, ...]
    repaired: tuple[FaultRef, ...]
    expects: tuple[Expect, ...]
    source: str
    place: Place = NOWHERE
