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
class Expect:
    """What a case must lead to.

    first(faults) · not(faults): not above 5 in 100 · next(name=check) · warned(name=caution) · told(text) ·
    held(faults): no verdict on it yet · among(faults): in the leading three.
    """

    what: Literal["first", "not", "next", "warned", "told", "held", "among"]
    name: str = ""
    faults: FaultRef | None = None
    place: Place = NOWHERE


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
