"""What is known of the parts of a machine, where the probes of a check go, and what was read: marks on its drawing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from coldiron.circuits.machine import Machine
from coldiron.record import dataclass, field

Known = Literal["not known", "proven good", "likely cause", "condemned"]

SIGNS: Mapping[Known, str] = {"proven good": "=", "likely cause": "?", "condemned": "X", "not known": "-"}
"""How a part is drawn between its two points, by what is known of it."""

CONDEMNED = 0.95
"""The chance from which a part is condemned: the same from which a fix is named."""

LIKELY = 0.05
"""The chance from which a part is called a likely cause."""

GOOD = 0.005
FEWER = 10.0
"""A part is proven good below the chance GOOD, if the readings made it at least so many times less likely."""


@dataclass(frozen=True, slots=True)
class Marks:
    """What is marked on a drawing.

    Attributes:
        known: what is known of parts, by id; those left out are not known.
        volts: what was read at points, in words, by id of the point.
        red: where the red probe goes; empty if nowhere.
        black: where the black probe goes.
    """

    known: Mapping[str, Known] = field(default_factory=dict)
    volts: Mapping[str, str] = field(default_factory=dict)
    red: str = ""
    black: str = ""

    def sign(self, part: str) -> str:
        """How a part is drawn."""
        return SIGNS[self.known.get(part, "not known")]

    def probes(self, point: str) -> str:
        """The probes that go to a point, by their colors; empty if none does."""
        return " and ".join(name for name, at in (("red", self.red), ("black", self.black)) if at == point)


def known_of(before: Mapping[str, float], now: Mapping[str, float]) -> dict[str, Known]:
    """What is known of parts, by the chance that each is at fault before any reading and now."""
    return {part: _known(before.get(part, 0.0), chance) for part, chance in now.items()}


def _known(before: float, now: float) -> Known:
    if now >= CONDEMNED:
        return "condemned"
    if now >= LIKELY:
        return "likely cause"
    return "proven good" if now < GOOD and now * FEWER <= before else "not known"


def by_part(machine: Machine, chances: Iterable[tuple[str, float]]) -> dict[str, float]:
    """The chances of faults added up by part; events are left out."""
    found: dict[str, float] = {}
    for fault, chance in chances:
        if fault in machine.faults:
            part = machine.faults[fault].part
            found[part] = found.get(part, 0.0) + chance
    return found
