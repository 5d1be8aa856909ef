"""What a part does electrically, sound or with faults: conductances, magnets, battery and motor curves.

Common practice throughout, no source, for: a solenoid is held by the sum of the amps in its two windings (they have
about the same number of turns), a starter whose drive slips takes about 3 tenths of its cranking current, a battery
gives way by up to 0.35 V under load besides its inner ohms.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import exp, log
from typing import assert_never

from coldiron.book.faults import (
    AddsOhms,
    Effect,
    Leaks,
    Locks,
    Opens,
    ScalesValue,
    SetsValue,
    Slips,
    StaysClosed,
    span,
)
from coldiron.circuits.copper import wire_ohms
from coldiron.record import dataclass, field

LEAST_OHMS = 1e-6
"""Ohms: no path is better, so that every network can be solved. A hundredth of a good joint."""

FREE_SHARE = 0.3
"""Current of a starter that turns without the engine, as a share of its cranking current: an estimate, no source."""

BRANCHES: Mapping[str, tuple[str, ...]] = {
    "battery": (),
    "relay": ("coil", "contact"),
    "rest_relay": ("coil", "contact"),
    "starter": ("pull_in", "hold_in", "contact"),
    "alternator": ("trio",),
}
"""The plain paths inside a part, by act, each with its ends in `ENDS`. Other acts have one path, named ''."""

ENDS: Mapping[str, tuple[int, int]] = {"coil": (0, 1), "contact": (2, 3)}
"""Which two ends of a relay a path joins, as positions in its ends."""

STARTER_ENDS: Mapping[str, tuple[int, int]] = {"pull_in": (1, 2), "hold_in": (1, 3), "contact": (0, 2)}
"""The same of a starter; its motor lies between ends 2 and 3."""

MAIN_PATH: Mapping[str, str] = {
    "relay": "contact",
    "rest_relay": "contact",
    "starter": "contact",
    "alternator": "field",
}
"""Where ohms are added when a fault names no portion."""


@dataclass(frozen=True, slots=True)
class Magnet:
    """What moves a contact: pulls in when the sum of path volts times `weights` reaches `pull`, holds down to `hold`.

    `weights` go with the first paths of the part. `rests_closed`: the contact is closed while the magnet is at rest.
    A `stuck` contact cannot move: the magnet makes no sound.
    """

    weights: tuple[float, ...]
    pull: float
    hold: float
    rests_closed: bool = False
    stuck: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """A battery: volts at rest and inner ohms; `alive` is False when it is open inside."""

    volts: float
    ohms: float
    alive: bool = True


@dataclass(frozen=True, slots=True)
class Motor:
    """A starter's motor: takes `amps` while it turns, and is plain `ohms` when volts do not reach that far.

    `healthy_back` is the back voltage at full cranking speed, `turns` False when the engine does not turn with it.
    An open motor has `ohms` None; one that is locked has unbounded `amps`.
    """

    amps: float
    ohms: float | None
    healthy_back: float
    turns: bool = True


@dataclass(frozen=True, slots=True)
class Valve:
    """What drives current one way between two rows: `(volts - over) / ohms` amps, never below `least` nor above `most`.

    Amps are counted out of the first row; `over` is the volts from the first row to the second.
    """

    volts: float
    ohms: float
    least: float
    most: float

    def bound(self, over: float) -> float | None:
        """The amps it is held to with so many volts over it; None where it follows its line."""
        amps = (self.volts - over) / self.ohms
        return self.least if amps <= self.least else self.most if amps >= self.most else None


SHUT = Valve(0.0, 1.0, 0.0, 0.0)
"""Nothing flows."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """A part in one condition: siemens of its paths when closed, and what else it has.

    `forced` is True for a switch or contact that conducts whatever its setting or magnet says. `own` is the share of
    the volts over a plain part that falls on the part as it should be, and not on ohms added to it: a lamp glows by it.
    `valves` are what an alternator gives once it has woken, and what its field takes.
    """

    siemens: tuple[float, ...]
    forced: bool = False
    own: float = 1.0
    magnet: Magnet | None = None
    cell: Cell | None = None
    motor: Motor | None = None
    valves: tuple[Valve, ...] = ()


@dataclass(slots=True)
class PartEffects:
    """The effects of all faults of one part, put together."""

    values: dict[str, float]
    opened: set[str] = field(default_factory=set)
    added: dict[str, float] = field(default_factory=dict)
    closed: bool = False
    locked: bool = False
    slipping: bool = False

    def siemens(self, path: str, ohms: float) -> float:
        """Conductance of a path: 0 if it is open, else one over its ohms and what is added to them."""
        if "" in self.opened or path in self.opened:
            return 0.0
        return 1.0 / max(ohms + self.added.get(path, 0.0), LEAST_OHMS)


def size(effect: Effect, quantile: float) -> float:
    """The size of an effect so far from mild to severe: even in the logarithm, for values set even in the value."""
    mild, severe = span(effect)
    if mild == severe:
        return mild
    if isinstance(effect, SetsValue) or mild <= 0 or severe <= 0:
        return mild + (severe - mild) * quantile
    return exp(log(mild) + (log(severe) - log(mild)) * quantile)


def stamp(acts: str, values: Mapping[str, float], effects: Iterable[tuple[Effect, float]] = ()) -> Stamp:
    """A part that acts so, with its values, under effects of the given sizes; leaks are not of its concern.

    An open path stays open whatever else befalls it; added ohms add up; set values come before scaled ones.
    """
    condition = _condition(acts, values, effects)
    if acts == "battery":
        return _battery(condition)
    if acts in ("relay", "rest_relay"):
        return _relay(acts, condition)
    if acts == "starter":
        return _starter(condition, values)
    if acts == "alternator":
        return _alternator(condition)
    ohms = wire_ohms(**_wire_values(condition.values)) if acts == "wire" else condition.values["ohms"]
    siemens = condition.siemens("", ohms)
    return Stamp((siemens,), condition.closed, own=min(siemens * ohms, 1.0))


def _condition(acts: str, values: Mapping[str, float], effects: Iterable[tuple[Effect, float]]) -> PartEffects:
    found = PartEffects(dict(values))
    for effect, amount in sorted(effects, key=lambda pair: isinstance(pair[0], ScalesValue)):
        match effect:
            case Opens():
                found.opened.add(effect.at)
            case AddsOhms():
                path = effect.at or MAIN_PATH.get(acts, "")
                found.added[path] = found.added.get(path, 0.0) + amount
            case SetsValue():
                found.values[effect.value] = amount
            case ScalesValue():
                found.values[effect.value] *= amount
            case StaysClosed():
                found.closed = True
            case Locks():
                found.locked = True
            case Slips():
                found.slipping = True
            case Leaks():
                pass  # a path of its own, beside those of the part
            case _:
                assert_never(effect)
    return found


def _wire_values(values: Mapping[str, float]) -> dict[str, float]:
    return {"area": values["area"], "length": values["length"], "joints": values.get("joints", 0.0)}


def _battery(condition: PartEffects) -> Stamp:
    ohms = max(condition.values["ohms"] + condition.added.get("", 0.0), LEAST_OHMS)
    return Stamp((), cell=Cell(condition.values["volts"], ohms, alive="" not in condition.opened))


def _relay(acts: str, condition: PartEffects) -> Stamp:
    values = condition.values
    coil = condition.siemens("coil", values["coil_ohms"])
    magnet = Magnet(
        weights=(coil * values["coil_ohms"],),
        pull=values["pull_in"],
        hold=values["drop_out"],
        rests_closed=acts == "rest_relay",
        stuck=condition.closed,
    )
    return Stamp((coil, condition.siemens("contact", values["contact_ohms"])), condition.closed, magnet=magnet)


def _starter(condition: PartEffects, sound: Mapping[str, float]) -> Stamp:
    values = condition.values
    pull_in = condition.siemens("pull_in", values["pull_in_ohms"])
    hold_in = condition.siemens("hold_in", values["hold_in_ohms"])
    magnet = Magnet(
        weights=(pull_in, hold_in),
        pull=values["pull_in"] * (1 / sound["pull_in_ohms"] + 1 / sound["hold_in_ohms"]),
        hold=values["drop_out"] / sound["hold_in_ohms"],
        stuck=condition.closed,
    )
    winding = condition.siemens("motor", values["armature_ohms"])
    amps = values["crank_amps"] * (FREE_SHARE if condition.slipping else 1.0)
    motor = Motor(
        amps=float("inf") if condition.locked else amps,
        ohms=1 / winding if winding else None,
        healthy_back=sound["crank_volts"] - sound["crank_amps"] * sound["armature_ohms"],
        turns=not (condition.locked or condition.slipping),
    )
    contact = condition.siemens("contact", values["contact_ohms"])
    return Stamp((pull_in, hold_in, contact), condition.closed, magnet=magnet, motor=motor)


def _alternator(condition: PartEffects) -> Stamp:
    """It wakes when its field gets `wakes` amps while it turns; from then on it feeds its field itself, over the trio.

    The field is slip rings, rotor and regulator: no current below `field_volts`, ohms above.
    """
    values = condition.values
    field = condition.siemens("field", values["field_ohms"])
    works = field > 0 and not condition.locked
    magnet = Magnet(
        weights=(1.0 if works else 0.0,),
        pull=values["field_volts"] + (values["wakes"] / field if field else 0.0),
        hold=values["field_volts"],
    )
    output = Valve(values["volts"], values["ohms"], 0.0, values["amps"])
    taken = Valve(values["field_volts"], 1 / field, float("-inf"), 0.0) if field else SHUT
    return Stamp((condition.siemens("trio", values["trio_ohms"]),), magnet=magnet, valves=(output, taken))


def levelled(effects: Iterable[Effect]) -> bool:
    """Whether any of the effects has a range, so that its size matters."""
    return any(mild != severe for mild, severe in map(span, effects))


def path_ends(acts: str, path: str) -> tuple[int, int]:
    """The two ends of a path of a part, as positions in its ends."""
    if acts == "starter":
        return STARTER_ENDS[path]
    return ENDS.get(path, (0, 1))


def paths(acts: str) -> tuple[str, ...]:
    """The plain paths of a part that acts so, in the order of its stamp."""
    return BRANCHES.get(acts, ("",))
