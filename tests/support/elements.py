"""A machine as a plain list of resistors, batteries and motors, made here from its parts and faults.

It is written from the descriptions of the parts and shares no code with the package's own stamps, so that two other
ways of solving (a dense tableau, ngspice) check the package from outside.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from coldiron.book.faults import AddsOhms, Effect, Leaks, Opens, ScalesValue, SetsValue
from support.own_machine import OwnMachine

if TYPE_CHECKING:
    from coldiron.circuits import Machine  # the program's own machine is read here too: its parts and values

# Metric cable for road vehicles, mm2 and milliohm per metre at 20 C: class figures, from memory of that standard.
CABLE = np.array([
    [0.5, 37.1], [0.75, 24.7], [1, 18.5], [1.5, 12.7], [2.5, 7.60], [4, 4.71], [6, 3.14], [10, 1.82], [16, 1.16],
    [25, 0.743], [35, 0.527], [50, 0.368], [70, 0.259], [95, 0.196], [120, 0.153],
])  # fmt: skip


@dataclass(frozen=True)
class Resistor:
    a: str
    b: str
    ohms: float
    part: str
    path: str = ""


@dataclass(frozen=True)
class Battery:
    a: str
    b: str
    volts: float
    ohms: float
    part: str


@dataclass(frozen=True)
class Motor:
    a: str
    b: str
    amps: float
    ohms: float
    part: str


@dataclass(frozen=True)
class Valve:
    """Puts `(volts - over) / ohms` amps out at a and takes them in at b, no fewer than `least`, no more than `most`.

    With `turns` the alternator it is part of turns.
    """

    a: str
    b: str
    volts: float
    ohms: float
    least: float
    most: float
    part: str
    turns: bool


@dataclass(frozen=True)
class Elements:
    """With `charging` an alternator has woken, and batteries come up while current goes into them."""

    resistors: tuple[Resistor, ...]
    batteries: tuple[Battery, ...]
    motors: tuple[Motor, ...]
    valves: tuple[Valve, ...] = ()
    charging: bool = False


def _range(effect: Effect) -> tuple[float, float]:
    """The mildest and the most severe size of an effect, if it has any."""
    return getattr(effect, "mild", 0.0), getattr(effect, "severe", 0.0)


def amounts(machine: Machine | OwnMachine, faults: Iterable[str], level: int) -> dict[str, list[tuple[Effect, float]]]:
    """Effects by part with their sizes: the middle of each third of a range, turned from one such fault to the next."""
    orders = ((0, 1, 2), (1, 2, 0), (0, 2, 1))
    turns: dict[str, int] = {}
    found: dict[str, list[tuple[Effect, float]]] = {}
    for id_ in sorted(faults):
        what = machine.faults[id_].what
        third = level
        if any(mild != severe for mild, severe in map(_range, what.effects)):
            battery = machine.kind(machine.faults[id_].part).acts == "battery"
            third = orders[turns.setdefault(what.id if battery else id_, len(turns)) % 3][level]
        along = (2 * third + 1) / 6
        for effect in what.effects:
            mild, severe = _range(effect)
            if mild == severe:
                amount = mild
            elif isinstance(effect, SetsValue):
                amount = mild + along * (severe - mild)
            else:
                amount = mild * (severe / mild) ** along
            found.setdefault(machine.faults[id_].part, []).append((effect, amount))
    return found


def elements(
    machine: Machine | OwnMachine,
    settings: Mapping[str, str],
    faults: Iterable[str],
    level: int,
    positions: Mapping[str, bool],
) -> Elements:
    """What current can run through, with relays and solenoids in the given positions (True: pulled in)."""
    stand = {id_: setting.normal for id_, setting in machine.book.settings.items()} | dict(settings)
    effects = amounts(machine, faults, level)
    found = Elements((), (), ())
    for id_, part in machine.parts.items():
        shut = all(stand[c.setting] in c.values for c in part.closed)
        one = _OnePart(machine, id_, effects.get(id_, []), shut=shut, pulled=positions.get(id_, False)).made()
        found = Elements(
            found.resistors + one.resistors,
            found.batteries + one.batteries,
            found.motors + one.motors,
            found.valves + one.valves,
            found.charging or one.charging,
        )
    return found


class _OnePart:
    """One part with its faults, turned into elements by the way it acts."""

    def __init__(
        self, machine: Machine | OwnMachine, id_: str, effects: list[tuple[Effect, float]], *, shut: bool, pulled: bool
    ) -> None:
        self.id = id_
        self.acts = machine.kind(id_).acts
        self.joins = machine.parts[id_].joins
        self.point = machine.point
        self.effects = effects
        self.pulled = pulled
        self.opened = {effect.at for effect, _ in effects if isinstance(effect, Opens)}
        self.verbs = {effect.form for effect, _ in effects}
        self.shut = shut or "closed" in self.verbs
        self.values = machine.values(id_)
        for effect, amount in effects:
            if isinstance(effect, SetsValue):
                self.values[effect.value] = amount
        for effect, amount in effects:
            if isinstance(effect, ScalesValue):
                self.values[effect.value] *= amount

    def made(self) -> Elements:
        resistors = [
            Resistor(self.joins[effect.end], to, amount, self.id, "leak")
            for effect, amount in self.effects
            if isinstance(effect, Leaks) and (to := self.joins.get(effect.to) or self.point(effect.to))
        ]
        if self.acts == "battery":
            return Elements(tuple(resistors), self._battery(), ())
        if self.acts == "starter":
            return Elements((*resistors, *self._solenoid()), (), self._motor())
        if self.acts == "alternator":
            trio = self._path("trio", "output", "exciter", self.values["trio_ohms"], shut=self.pulled)
            return Elements((*resistors, *trio), (), (), self._alternator(), self.pulled)
        plain = self._relay() if "relay" in self.acts else self._plain()
        return Elements((*resistors, *plain), (), ())

    def _more(self, path: str) -> float:
        return sum(amount for effect, amount in self.effects if isinstance(effect, AddsOhms) and effect.at == path)

    def _path(self, name: str, a: str, b: str, ohms: float, *, shut: bool = True) -> list[Resistor]:
        if not shut or self.opened & {"", name}:
            return []
        return [Resistor(self.joins[a], self.joins[b], ohms + self._more(name), self.id, name)]

    def _battery(self) -> tuple[Battery, ...]:
        if self.opened:
            return ()
        ohms = self.values["ohms"] + self._more("")
        return (Battery(self.joins["positive"], self.joins["negative"], self.values["volts"], ohms, self.id),)

    def _plain(self) -> list[Resistor]:
        a, b = list(self.joins)
        if self.acts == "wire":
            metre = float(np.interp(1 / self.values["area"], 1 / CABLE[::-1, 0], CABLE[::-1, 1]))
            return self._path("", a, b, metre * self.values["length"] / 1000 + self.values.get("joints", 0.0))
        return self._path("", a, b, self.values["ohms"], shut=self.acts != "switch" or self.shut)

    def _relay(self) -> list[Resistor]:
        shut = self.pulled == (self.acts == "relay") or "closed" in self.verbs
        coil = self._path("coil", "coil_feed", "coil_ground", self.values["coil_ohms"])
        return coil + self._path("contact", "contact_feed", "contact_out", self.values["contact_ohms"], shut=shut)

    def _solenoid(self) -> list[Resistor]:
        return [
            *self._path("pull_in", "s_terminal", "motor_stud", self.values["pull_in_ohms"]),
            *self._path("hold_in", "s_terminal", "case", self.values["hold_in_ohms"]),
            *self._path(
                "contact",
                "battery_stud",
                "motor_stud",
                self.values["contact_ohms"],
                shut=self.pulled or "closed" in self.verbs,
            ),
        ]

    def _alternator(self) -> tuple[Valve, ...]:
        """The field takes current above its volts, unless it is open; the output gives it once the alternator woke."""
        values, case = self.values, self.joins["case"]
        made = []
        if not self.opened & {"", "field"}:
            ohms = values["field_ohms"] + self._more("field") + self._more("")
            made.append(
                Valve(self.joins["exciter"], case, values["field_volts"], ohms, -math.inf, 0.0, self.id, self.shut)
            )
        if self.pulled:
            output, amps = self.joins["output"], values["amps"]
            made.append(Valve(output, case, values["volts"], values["ohms"], 0.0, amps, self.id, self.shut))
        return tuple(made)

    def _motor(self) -> tuple[Motor, ...]:
        if self.opened & {"", "motor"}:
            return ()
        amps = self.values["crank_amps"] * (0.3 if "slipping" in self.verbs else 1.0)
        ohms = self.values["armature_ohms"] + self._more("motor")
        stud, case = self.joins["motor_stud"], self.joins["case"]
        return (Motor(stud, case, math.inf if "locked" in self.verbs else amps, ohms, self.id),)


def from_rest(found: Elements, starting: Collection[str]) -> Elements:
    """The same at the moment in which some motors are switched on: they do not turn yet, and are plain ohms."""
    motors = tuple(replace(motor, amps=inf) if motor.part in starting else motor for motor in found.motors)
    return replace(found, motors=motors)


def proper_ohms(machine: Machine | OwnMachine, id_: str, effects: list[tuple[Effect, float]]) -> float:
    """The ohms of a plain part as it is now, without those that a bad joint adds."""
    return _OnePart(machine, id_, effects, shut=True, pulled=False).values["ohms"]


def force(machine: Machine | OwnMachine, found: Elements, id_: str, volts: Mapping[str, float]) -> float:
    """What pulls at a magnet: volts over a relay's coil proper, or amps in both windings of a solenoid."""
    mine = {r.path: (volts[r.a] - volts[r.b]) / r.ohms for r in found.resistors if r.part == id_}
    if machine.kind(id_).acts == "starter":
        return abs(mine.get("pull_in", 0.0) + mine.get("hold_in", 0.0))
    if machine.kind(id_).acts == "alternator":
        joins = machine.parts[id_].joins
        if not any(valve.part == id_ and valve.turns for valve in found.valves):
            return 0.0
        return abs(volts[joins["exciter"]] - volts[joins["case"]])
    return abs(mine.get("coil", 0.0)) * machine.values(id_)["coil_ohms"]


def thresholds(machine: Machine | OwnMachine, id_: str, effects: Iterable[tuple[Effect, float]]) -> tuple[float, float]:
    """The forces at which it pulls in and lets go."""
    values = machine.values(id_)
    for effect, amount in effects:
        if isinstance(effect, ScalesValue):
            values[effect.value] *= amount
    if machine.kind(id_).acts == "starter":
        both = 1 / values["pull_in_ohms"] + 1 / values["hold_in_ohms"]
        return values["pull_in"] * both, values["drop_out"] / values["hold_in_ohms"]
    if machine.kind(id_).acts == "alternator":
        added = sum(amount for effect, amount in effects if isinstance(effect, AddsOhms))
        open_ = any(isinstance(effect, Opens) and effect.at in {"", "field"} for effect, _ in effects)
        dead = open_ or any(effect.form == "locked" for effect, _ in effects)
        wakes = values["field_volts"] + values["wakes"] * (values["field_ohms"] + added)
        return (math.inf, math.inf) if dead else (wakes, values["field_volts"])
    return values["pull_in"], values["drop_out"]
