"""The book: everything loaded from the rule files.

The language checks its records with pydantic when it is built from text; nothing here reads a file or imports a
library. All figures of a book are in volts, amps, ohms, minutes, square millimeters and meters; chances lie between
0 and 1.
"""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.cautions import Action, Caution
from coldiron.book.checks import Check
from coldiron.book.dangers import Danger
from coldiron.book.duties import Duty
from coldiron.book.faults import Chain, Fault
from coldiron.book.history import Ask, Code, Complaint
from coldiron.book.machines import (
    Circuit,
    CircuitOption,
    Feature,
    Kind,
    Part,
    Route,
    RouteEvent,
    Section,
    UsualMachine,
)
from coldiron.book.problem import Problem
from coldiron.book.words import Area, Kit, Point, Setting, Word
from coldiron.record import dataclass, field

TYPE_CHECKING = False
if TYPE_CHECKING:
    from coldiron.book.cases import Case
    from coldiron.book.rules import Rule

LATER: Mapping[str, str] = {"rules": "coldiron.book.rules", "cases": "coldiron.book.cases"}
"""Where the records of those mappings lie that no first question looks at: they are imported when one is made."""


@dataclass(frozen=True, slots=True)
class Book:
    """Everything loaded from the rule files. All mappings are by id, in the order of the files.

    `broken` holds every error that was found in them: a book that has any is not used for a job. `aside` names
    the files of the shop's own layer that have an error and were left out; those errors are not in `broken`.
    """

    hash: str
    settings: Mapping[str, Setting]
    kits: Mapping[str, Kit]
    areas: Mapping[str, Area]
    points: Mapping[str, Point]
    topics: Mapping[str, Word]
    facts: Mapping[str, Word]
    kinds: Mapping[str, Kind]
    sections: Mapping[str, Section]
    circuits: Mapping[str, Circuit]
    chains: Mapping[str, Chain]
    complaints: Mapping[str, Complaint]
    questions: Mapping[str, Ask]
    checks: Mapping[str, Check]
    codes: Mapping[str, Code]
    cautions: Mapping[str, Caution]
    duties: Mapping[str, Duty]
    rules: Mapping[str, Rule]
    cases: Mapping[str, Case]
    parts: Mapping[str, Part]
    faults: Mapping[str, Fault]
    features: Mapping[str, Feature] = field(default_factory=dict)
    actions: Mapping[str, Action] = field(default_factory=dict)
    dangers: Mapping[str, Danger] = field(default_factory=dict)
    options: Mapping[str, CircuitOption] = field(default_factory=dict)
    usual: Mapping[str, UsualMachine] = field(default_factory=dict)
    routes: Mapping[str, Route] = field(default_factory=dict)
    events: Mapping[str, RouteEvent] = field(default_factory=dict)
    broken: tuple[Problem, ...] = ()
    aside: tuple[str, ...] = ()


NO_MAPPINGS = ("hash", "broken", "aside")
"""The fields of a book that hold no entries."""
