"""Ways a kind of part fails, which faults a line of the book speaks of, and what brings what with it.

What a fault does to the network is one record a form, its size from mild to severe: ohms, the unit of a value, or a
factor. All effects of a fault grow worse together, so the severe end may be the lower figure.
Chances lie between 0 and 1; times are in minutes and hours.
"""

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

    mild: float
    severe: float
    at: str = ""
    place: Place = NOWHERE
    form: Literal["adds"] = "adds"


@dataclass(frozen=True, slots=True)
class Leaks:
    """One end of the part leaks to a point, or to another of its ends, through so many ohms."""

    end: str
    to: str
    mild: float
    severe: float
    place: Place = NOWHERE
    form: Literal["leaks"] = "leaks"


@dataclass(frozen=True, slots=True)
class SetsValue:
    """A value of the part is another."""

    value: str
    mild: float
    severe: float
    place: Place = NOWHERE
    form: Literal["sets"] = "sets"


@dataclass(frozen=True, slots=True)
class ScalesValue:
    """A value of the part is so many times what it was."""

    value: str
    mild: float
    severe: float
    place: Place = NOWHERE
    form: Literal["scales"] = "scales"


Effect = Opens | StaysClosed | Locks | Slips | AddsOhms | Leaks | SetsValue | ScalesValue
"""One change of the network that a fault makes; `form` names each in what is kept."""


def span(effect: Effect) -> tuple[float, float]:
    """Return the mildest and the most severe size of an effect; 0 and 0 for one that has none."""
    match effect:
        case Opens() | StaysClosed() | Locks() | Slips():
            return 0.0, 0.0
        case AddsOhms() | Leaks() | SetsValue() | ScalesValue():
            return effect.mild, effect.severe
        case _:
            assert_never(effect)


def of_size(effect: Effect, amount: float) -> Effect:
    """Return an effect with this size only; one that has none as it is."""
    match effect:
        case Opens() | StaysClosed() | Locks() | Slips():
            return effect
        case AddsOhms() | Leaks() | SetsValue() | ScalesValue():
            return replace(effect, mild=amount, severe=amount)
        case _:
            assert_never(effect)


@dataclass(frozen=True, slots=True)
class Shows:
    """How often a fault produces a finding of a check that the circuit does not decide (eyes, ears, smell).

    One with `because` overrules what the circuit would give, and says why.
    """

    check: str
    finding: str
    chance: float
    place: Place = NOWHERE
    because: str = ""


@dataclass(frozen=True, slots=True)
class FaultKind:
    """One way a kind of part fails.

    `minutes` are hands-on ones; `waits` are hours in which nobody works, at least and at most, and `waiting` says what
    for. `odds` is a relative weight; `shows_now` is below 1 if it comes and goes; with `renews` the repair fits a new
    part, which has none of the part's other faults either; with `both` it is done to every part of this kind that the
    machine has.
    """

    id: str
    name: str
    odds: float
    effects: tuple[Effect, ...]
    shows: tuple[Shows, ...]
    repair: str
    minutes: float
    proof: str
    damages: str = ""
    cautions: tuple[str, ...] = ()
    shows_now: float = 1.0
    renews: bool = False
    both: bool = False
    source: str = ""
    place: Place = NOWHERE
    waits: tuple[float, float] = (0.0, 0.0)
    waiting: str = ""


@dataclass(frozen=True, slots=True)
class FaultRef:
    """Which faults a line speaks of: `part.fault`, a whole part, or one fault of every part of a kind.

    Exactly one of `part` and `kind` is set; an empty `fault` means all faults of that part or kind.
    """

    part: str = ""
    kind: str = ""
    fault: str = ""
    place: Place = NOWHERE

    def matches(self, part: str, kind: str, fault: str) -> bool:
        """Whether it speaks of one way in which a part of some kind fails."""
        return (kind == self.kind if self.kind else part == self.part) and self.fault in ("", fault)

    def __str__(self) -> str:
        """As it is written in a rule file."""
        tail = f".{self.fault}" if self.fault else ""
        return f"any {self.kind}{tail}" if self.kind else f"{self.part}{tail}"


@dataclass(frozen=True, slots=True)
class Victim:
    """What a cause brings with it, and how often."""

    faults: FaultRef
    chance: float
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Chain:
    """A cause and its victims; `circle` says why one of them may bring the cause in turn, empty if none is meant to."""

    id: str
    cause: FaultRef
    victims: tuple[Victim, ...]
    because: str
    source: str
    circle: str = ""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one part: `id` is `part.fault`."""

    id: str
    part: str
    kind: str
    name: str
    what: FaultKind
