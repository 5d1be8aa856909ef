"""What a fault does to the network, one record a form. Sizes are bounds: ohms, the unit of a value, or a factor."""

from __future__ import annotations

from typing import Literal, assert_never

from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass, replace

Verb = Literal["open", "closed", "locked", "slipping", "adds", "leaks", "sets", "scales"]
"""The forms by their names."""


@dataclass(frozen=True, slots=True)
class Opens:
    """No current flows through the part, or through one portion (`coil`, `contact` ...) of it."""

    at: str = ""
    place: Place = NOWHERE
    form: Literal["open"] = "open"


@dataclass(frozen=True, slots=True)
class StaysClosed:
    """A switch or contact conducts whatever its setting or its magnet says."""

    at: str = ""
    place: Place = NOWHERE
    form: Literal["closed"] = "closed"


@dataclass(frozen=True, slots=True)
class Locks:
    """A motor does not turn."""

    place: Place = NOWHERE
    form: Literal["locked"] = "locked"


@dataclass(frozen=True, slots=True)
class Slips:
    """A motor turns and moves nothing."""

    place: Place = NOWHERE
    form: Literal["slipping"] = "slipping"


@dataclass(frozen=True, slots=True)
class AddsOhms:
    """Ohms come on top of those of the part, or of one portion of it."""

    low: float
    high: float
    at: str = ""
    place: Place = NOWHERE
    form: Literal["adds"] = "adds"


@dataclass(frozen=True, slots=True)
class Leaks:
    """One end of the part leaks to a point, or to another of its ends, through so many ohms."""

    end: str
    to: str
    low: float
    high: float
    place: Place = NOWHERE
    form: Literal["leaks"] = "leaks"


@dataclass(frozen=True, slots=True)
class SetsValue:
    """A value of the part is another."""

    value: str
    low: float
    high: float
    place: Place = NOWHERE
    form: Literal["sets"] = "sets"


@dataclass(frozen=True, slots=True)
class ScalesValue:
    """A value of the part is so many times what it was."""

    value: str
    low: float
    high: float
    place: Place = NOWHERE
    form: Literal["scales"] = "scales"


Effect = Opens | StaysClosed | Locks | Slips | AddsOhms | Leaks | SetsValue | ScalesValue
"""One change of the network that a fault makes; `form` names each in what is kept."""


def bounds(effect: Effect) -> tuple[float, float]:
    """Return the least and the greatest size of an effect; 0 and 0 for one that has none."""
    match effect:
        case Opens() | StaysClosed() | Locks() | Slips():
            return 0.0, 0.0
        case AddsOhms() | Leaks() | SetsValue() | ScalesValue():
            return effect.low, effect.high
        case _:
            assert_never(effect)


def of_size(effect: Effect, amount: float) -> Effect:
    """Return an effect with this size only; one that has none as it is."""
    match effect:
        case Opens() | StaysClosed() | Locks() | Slips():
            return effect
        case AddsOhms() | Leaks() | SetsValue() | ScalesValue():
            return replace(effect, low=amount, high=amount)
        case _:
            assert_never(effect)
