"""Duties: what the machine must do, or refuse to do, before it is handed back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldiron.book.checks import Band
from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Duty:
    """One thing the machine must do, or refuse to do, before it is handed back.

    `has` names the parts or kinds of which the machine must have one; none for every machine;
    `lacks` those of which it must have none. What is read as a figure
    has a `quantity` (`volts`, `amps` or `ohms`) and the `bands` of a good one; the others are ticked. `fails_as` are
    the (check, finding) pairs that follow when it fails; `otherwise` says what is done then. `until` says what the
    owner must not do while it has not been shown; with `keeps` the machine stays out of service so long.
    """

    id: str
    name: str
    ask: str
    how: str
    has: tuple[FaultRef, ...]
    lacks: tuple[FaultRef, ...]
    if_fitted: bool
    quantity: Literal["", "volts", "amps", "ohms"]
    bands: tuple[Band, ...]
    state: Mapping[str, str]
    minutes: float
    area: str
    kit: tuple[str, ...]
    warns: tuple[str, ...]
    fails_as: tuple[tuple[str, str], ...]
    otherwise: str
    until: str
    keeps: bool
    because: str
    source: str
    place: Place = NOWHERE
