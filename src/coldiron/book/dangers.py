"""Dangers: what tells of one, which steps it bars, what lifts it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class BarsSettings:
    """Steps that bring settings to values, all of `state` together."""

    state: Mapping[str, str]
    place: Place = NOWHERE
    form: Literal["setting"] = "setting"


@dataclass(frozen=True, slots=True)
class BarsProof:
    """The proof of a repair that brings settings to values, all of `state` together."""

    state: Mapping[str, str]
    place: Place = NOWHERE
    form: Literal["proof"] = "proof"


@dataclass(frozen=True, slots=True)
class BarsCheck:
    """A check, or all checks made of a template."""

    check: str
    place: Place = NOWHERE
    form: Literal["check"] = "check"


@dataclass(frozen=True, slots=True)
class BarsRepair:
    """The repair of faults; the part `part` is the one that the danger was found at."""

    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["repair"] = "repair"


@dataclass(frozen=True, slots=True)
class BarsAll:
    """Every step."""

    place: Place = NOWHERE
    form: Literal["all"] = "all"


Bar = BarsSettings | BarsProof | BarsCheck | BarsRepair | BarsAll
"""A sort of step that a danger bars, or that a question stands before; `form` names each in what is kept."""


@dataclass(frozen=True, slots=True)
class Sign:
    """What tells of a danger, or that it is over: the finding of a check, an answer to a question, the complaint.

    `name` may be a template of checks: then any check of it tells, and it is the one of the same part that lifts. An
    answer without a `value` is one that nobody knew. Of the complaint, `name` is `complaint` and the value is which.
    """

    test: Literal["finding", "history", "complaint"]
    name: str
    value: str = ""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Lift:
    """What ends a danger: all of `signs`, found later than it was told; with `after`, later than such a repair too."""

    signs: tuple[Sign, ...]
    after: FaultRef | None = None
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Danger:
    """Something found that holds until something measured says otherwise.

    Each of `told` (signs that are found together) tells of it. While it stands no step of the sorts in `bars` is
    offered or taken. `now` says what is done this second, if anything; `warns` are cautions for every step meanwhile.
    """

    id: str
    name: str
    told: tuple[tuple[Sign, ...], ...]
    bars: tuple[Bar, ...]
    lifts: tuple[Lift, ...]
    now: str
    warns: tuple[str, ...]
    because: str
    source: str
    place: Place = NOWHERE
