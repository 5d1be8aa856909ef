"""Checks, what they measure, and the findings a reading falls in. Readings are in volts, amps or ohms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass

Quantity = Literal["volts", "amps", "ohms", "lamp", "glow", "click", "turn", "eye"]

ODD = "odd"
"""The finding of a reading that falls in no declared band."""

OPEN_LINE = 20e6
"""Ohms above which an ohmmeter shows an open line. A band that goes on above it holds that reading as well."""

UNITS: Mapping[str, str] = {"volts": "V", "amps": "A", "ohms": "ohm"}
"""The unit of a reading, by quantity. The other quantities are answered by choosing a finding."""

LOOKS_GOOD = "sound"
"""The finding of a look at a route where nothing is seen."""


def look_at(route: str) -> str:
    """The id of the look at a route."""
    return f"{route}_look"


@dataclass(frozen=True, slots=True)
class Band:
    """Bounds of a finding: `low <= reading < high`, in the unit of the check.

    `volts` is 12 or 24 for a machine of that voltage, 0 for both. `per_battery` bounds are multiplied by the number of
    batteries in series; nothing else is.
    """

    low: float
    high: float
    volts: int = 0
    per_battery: bool = False
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Finding:
    """A named result of a check, with its bands and, for a result that is chosen and not typed, its meaning."""

    id: str
    meaning: str
    bands: tuple[Band, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Reads:
    """What a check measures: a quantity between two points, or of one part."""

    quantity: Quantity
    a: str = ""
    b: str = ""
    part: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """One thing a person does at the machine to learn something.

    `findings` are in declared order, the first the worst (noisy-MAX joins causes in this order); `good` names the
    finding of a sound machine. `leaves` are settings that change nothing of what it finds, so that they stay as they
    are. `wrong` is the chance of a wrong reading; `spread` and `step` give the spread of sound
    parts and meters as a share of the reading and as an amount in its unit.
    """

    id: str
    ask: str
    how: str
    reads: Reads
    state: Mapping[str, str]
    minutes: float
    area: str
    kit: tuple[str, ...]
    warns: tuple[str, ...]
    findings: tuple[Finding, ...]
    good: str
    wrong: float
    spread: float
    step: float
    source: str
    each: str = ""
    place: Place = NOWHERE
    leaves: tuple[str, ...] = ()
