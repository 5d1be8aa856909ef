"""The next check: most is learnt about which part to repair first, per minute it takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from coldiron.diagnosis.beliefs import Belief, Judge


@dataclass(frozen=True, slots=True)
class Offer:
    """A check that may be done now, and what doing it takes.

    `state` are the settings it needs; every other setting must stand at normal. `area` has to be open, empty if none.
    `prefer` multiplies its score. `settled` marks what costs no visit to the machine, such as a question of history.
    """

    check: str
    minutes: float
    state: Mapping[str, str] = field(default_factory=dict)
    area: str = ""
    prefer: float = 1.0


@dataclass(frozen=True, slots=True)
class Ways:
    """What it takes to reach a state of the machine from the present one.

    Attributes:
        normal: Every setting with the value it has when nothing else is asked for.
        minutes: Minutes to change each setting; 0 for a setting without an entry.
        areas: Minutes to open each area; 0 for an area without an entry.
        present: Settings that now stand at something else than normal.
        opened: Areas already open.
    """

    normal: Mapping[str, str] = field(default_factory=dict)
    minutes: Mapping[str, float] = field(default_factory=dict)
    areas: Mapping[str, float] = field(default_factory=dict)
    present: Mapping[str, str] = field(default_factory=dict)
    opened: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Foresight:
    """What one finding would do: its chance, and the leading suspects after it, best first."""

    finding: int
    chance: float
    parts: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class RunnerUp:
    """The check that came second, and what it lost by."""

    check: str
    bits: float
    minutes: float
    why: Literal[
        "tells less", "takes longer", "tells less and takes longer", "less preferred", "later in the plan", "tie"
    ]


@dataclass(frozen=True, slots=True)
class Choice:
    """The next check and why it was chosen.

    Attributes:
        check: Id of the check.
        bits: What it tells about which part to repair first.
        minutes: What it takes from the present state of the machine, reaching its state and area included.
        reach: The part of `minutes` that goes into reaching its state and area.
        method: "plan" if the whole order of checks was worked out, "gain" if it tells most per minute.
        with_it: A check of the same state and area that makes reaching it pay, or empty.
        foresight: What each finding would do.
        runner_up: The next best, or None if no other check tells anything.
    """

    check: str
    bits: float
    minutes: float
    reach: float
    method: Literal["plan", "gain"]
    with_it: str
    foresight: tuple[Foresight, ...]
    runner_up: RunnerUp | None


def choose(judge: Judge, belief: Belief, offers: tuple[Offer, ...], ways: Ways) -> Choice | None:
    """The best of the offered checks, or None if none of them tells anything."""
    raise NotImplementedError


def foresee(judge: Judge, belief: Belief, check: str) -> tuple[Foresight, ...]:
    """What each finding of a check would do to the suspects, in the order of the findings."""
    raise NotImplementedError
