"""Kinds, parts, sections and circuits: what machines are made of, what tells them apart, what is hurt together.

Values are in volts, amps, ohms, square millimeters and meters, as the way a kind acts has them (`acts.py`).
"""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.faults import FaultKind, Victim
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass, field


@dataclass(frozen=True, slots=True)
class Kind:
    """A sort of component: how it acts, the names of its ends, usual values, and its faults."""

    id: str
    name: str
    acts: str
    ends: tuple[str, ...]
    values: Mapping[str, float]
    faults: tuple[FaultKind, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Closed:
    """A switch is closed while `setting` has one of `values`. All such lines of a part must hold."""

    setting: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One component in a section: its kind, which point each end is joined to, and its own values."""

    id: str
    name: str
    kind: str
    joins: Mapping[str, str]
    values: Mapping[str, float]
    closed: tuple[Closed, ...] = ()
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Section:
    """A reusable run of parts. `ends` are the points at which other sections join it."""

    id: str
    name: str
    ends: tuple[str, ...]
    parts: tuple[Part, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Circuit:
    """Sections joined from source through load to return: one sort of machine.

    `odds` replaces the odds of single faults (`part.fault`) on this circuit. `has` gives the answers that fit it, by
    feature; a feature it says nothing of fits with every answer. `common` is its share among machines of its volts.
    `free` gives the ends of sections that are meant to meet nothing on it, each with the reason.
    """

    id: str
    name: str
    volts: int
    batteries: int
    sections: tuple[str, ...]
    odds: Mapping[str, float]
    about: str = ""
    has: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    common: float = 0.0
    place: Place = NOWHERE
    free: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Feature:
    """Something by which sorts of machines are told apart, asked when a machine is described.

    `name` is what it is called where it is not known; `answers` are (id, meaning) in the order of the list.
    """

    id: str
    name: str
    ask: str
    how: str
    minutes: float
    answers: tuple[tuple[str, str], ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Like:
    """A circuit with options that machines of one sort have, and the share of those that do."""

    circuit: str
    options: tuple[str, ...]
    share: float
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class UsualMachine:
    """A sort of machine as people name it, and the circuits it usually has. `hears` are words that name it."""

    id: str
    name: str
    hears: tuple[str, ...]
    likes: tuple[Like, ...]
    because: str
    source: str
    place: Place = NOWHERE


LONGEST_NOTE = 300
"""Characters of a note on a card that are kept."""


@dataclass(frozen=True, slots=True)
class Card:
    """What the shop has written down of one machine: what it once said, not what is seen today.

    `said` is of its kind, as `coldiron.machine.fitting` has it. `notes` are by the id of a part, a point or a check,
    `healthy` by the check that read it, `fixed` by the fault, each with the day. `bare` are options that it was asked
    for and does not have.
    """

    name: str
    said: tuple[tuple[str, str], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()
    healthy: tuple[tuple[str, str], ...] = ()
    fixed: tuple[tuple[str, str], ...] = ()
    bare: tuple[str, ...] = ()
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Brings:
    """Sections that an option brings, `instead` of those named or beside what is there; `volts` 0 is any voltage."""

    sections: tuple[str, ...]
    instead: tuple[str, ...] = ()
    volts: int = 0
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class CircuitOption:
    """Something that a sort of machine may have beside what its circuit says, and the sections it brings.

    `gives` are the answers to features that say so. Every row of `rows` that can be done is done. `never` gives the
    circuits on which it cannot be, each with the reason. `common` is its share among machines that could have it and
    of whose circuit it is no part. `matters` is how often, by complaint, the fault lies in what it brings.
    """

    id: str
    name: str
    gives: Mapping[str, tuple[str, ...]]
    rows: tuple[Brings, ...]
    because: str
    source: str
    never: Mapping[str, str] = field(default_factory=dict)
    common: float = 0.0
    matters: Mapping[str, float] = field(default_factory=dict)
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class StoryTold:
    """An answer of the story that makes an event so many times likelier."""

    question: str
    answer: str
    factor: float
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class RouteEvent:
    """Something that happens at one place and hurts several of the wires there at once.

    `hurts` are the faults that it makes, each with its chance for a wire that passes there. `seen` is how often eyes
    find at the place what `meaning` says. `told` is what of the story makes it likelier. `what` holds its repair, its
    proof and its cautions, as those of a fault.
    """

    id: str
    what: FaultKind
    hurts: tuple[Victim, ...]
    seen: float
    meaning: str
    told: tuple[StoryTold, ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Route:
    """A place that several wires pass side by side, on any machine that has at least two of them.

    `events` are the odds of what may happen there, by event, weighed against those of faults. The look at the place is
    a check of its own, whose findings are what these events show.
    """

    id: str
    name: str
    parts: tuple[str, ...]
    events: Mapping[str, float]
    because: str
    source: str
    place: Place = NOWHERE
