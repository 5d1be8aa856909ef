"""Ways a kind of part fails, which faults a line of the book speaks of, and what brings what with it.

Sizes are in ohms, or a value, or a factor; chances lie between 0 and 1; times are in minutes and hours.
"""

from __future__ import annotations

from coldiron.book.acts import Verb
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Effect:
    """One change of the network that a fault makes.

    `at` is a portion (`coil`, `contact` ...), an end (for `leaks`) or a value name (for `sets` and `scales`); empty for
    the whole part. `low` and `high` bound the size: ohms added or leaked through, the value set, or a factor. `to` is
    the point a leak goes to.
    """

    verb: Verb
    at: str = ""
    low: float = 0.0
    high: float = 0.0
    to: str = ""
    place: Place = NOWHERE


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
    part, which has none of the part's other faults either.
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
