"""Words that the rest of a book uses: settings, kits, areas, points, topics and facts. Times are in minutes."""

from __future__ import annotations

from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Setting:
    """A condition of the machine that a check may require: key position, isolator, a lead on or off.

    `normal` is the value the machine must be back in before it is handed over; `minutes` is what a change costs.
    `springs` is empty, or (a value that lasts only while a step holds it, the value it springs back to). `confirm` is
    empty, or one (value, words) for each value: such a setting stands as it was last said to stand, and each change is
    said by itself in these words.
    """

    id: str
    name: str
    values: tuple[str, ...]
    normal: str
    minutes: float = 0.0
    place: Place = NOWHERE
    springs: tuple[str, ...] = ()
    confirm: tuple[tuple[str, str], ...] = ()

    @property
    def held(self) -> str:
        """The value that springs back when the step is over; empty if every value stays."""
        return self.springs[0] if self.springs else ""

    def in_words(self, value: str) -> str:
        """What is said of it when it stands at a value."""
        return dict(self.confirm).get(value, f"{self.name}: {value}")


@dataclass(frozen=True, slots=True)
class Kit:
    """A thing, or a pair of hands, that a check needs."""

    id: str
    name: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Area:
    """A part of the machine that has to be opened or reached, once, for the checks in it.

    `beside` is the area from whose place it is reached without walking round the machine; empty if none.
    """

    id: str
    name: str
    minutes: float
    place: Place = NOWHERE
    beside: str = ""


@dataclass(frozen=True, slots=True)
class Point:
    """A place a probe can touch; an electrical node of the circuits that have it."""

    id: str
    name: str
    area: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Word:
    """A declared topic of history or a declared derived fact."""

    id: str
    name: str
    place: Place = NOWHERE
