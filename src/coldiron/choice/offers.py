"""Checks on offer, and what it takes to reach the state of the machine that each needs."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.record import dataclass, field

State = tuple[tuple[str, str], ...]
"""Settings that stand at something else than normal, sorted."""

Setup = tuple[State, str]
"""A state of the machine, and the place from which something is held in it; empty if nothing is."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A check that may be done now, and what doing it takes.

    `state` are the settings it needs; every other setting must stand at normal. `area` has to be open, empty if none.
    `stretch` is the place where it is done if something is held in it, like START: the place is cleared once for all
    such checks in a row there. `prefer` multiplies its score.
    """

    check: str
    minutes: float
    state: Mapping[str, str] = field(default_factory=dict)
    area: str = ""
    prefer: float = 1.0
    stretch: str = ""


@dataclass(frozen=True, slots=True)
class Ways:
    """What it takes to reach a state of the machine from the present one.

    Attributes:
        normal: Every setting with the value it has when nothing else is asked for.
        minutes: Minutes to change each setting; 0 for a setting without an entry.
        areas: Minutes to open each area; 0 for an area without an entry.
        present: Settings that now stand at something else than normal.
        opened: Areas already open.
        stretch: The place that is cleared now for what is held; empty if none.
        clearing: Minutes to clear a place.
        held: Settings that are only held; a change of any other one ends a stretch.
    """

    normal: Mapping[str, str] = field(default_factory=dict)
    minutes: Mapping[str, float] = field(default_factory=dict)
    areas: Mapping[str, float] = field(default_factory=dict)
    present: Mapping[str, str] = field(default_factory=dict)
    opened: frozenset[str] = frozenset()
    stretch: str = ""
    clearing: float = 0.0
    held: frozenset[str] = frozenset()

    def state(self, settings: Mapping[str, str]) -> State:
        """Settings as a state: those at normal left out."""
        if not settings:
            return ()
        return tuple(sorted((name, value) for name, value in settings.items() if self.normal.get(name) != value))

    def now(self) -> Setup:
        """How the machine stands at present."""
        return self.state(self.present), self.stretch

    def setup(self, offer: Offer) -> Setup:
        """How it has to stand for a check."""
        return self.state(offer.state), offer.stretch

    def change(self, before: Setup, after: Setup) -> float:
        """Minutes to go from one setup to another: settings, and the place cleared anew where a stretch begins."""
        if before == after:
            return 0.0
        moved = {name for name, _ in set(before[0]) ^ set(after[0])}
        clears = after[1] and (after[1] != before[1] or moved - self.held)
        return sum(self.minutes.get(name, 0.0) for name in sorted(moved)) + (self.clearing if clears else 0.0)

    def opening(self, area: str) -> float:
        """Minutes to open an area from now."""
        return 0.0 if area in self.opened else self.areas.get(area, 0.0)

    def reach(self, offer: Offer) -> float:
        """Minutes to reach the state and the area of a check from the present state."""
        return self.change(self.now(), self.setup(offer)) + self.opening(offer.area)
