"""What a meter, a lamp or an ear gets from a machine with certain faults, solved by the tableau of `tableau.py`.

The key is turned through its positions one after the other, and relays go on from where they were. No code of the
program takes part. Common practice, no source: a meter of 10 megaohms, a test lamp of 21 W, an ohmmeter of 1 mA.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf

from coldiron.book.checks import Reads
from coldiron.book.faults import Effect
from support.elements import Elements, Motor, Resistor, amounts, elements, force, from_rest, proper_ohms, thresholds
from support.own_machine import OPEN_LINE, OwnMachine
from support.tableau import solve

METER_OHMS = 10e6
LAMP_OHMS = {12: 7.0, 24: 28.0}
TEST_AMPS = 1e-3
NEVER_STALLS = 1e12
MOVING = ("relay", "rest_relay", "starter")
KEY = "key"
MOST_KEPT = 200
"""Settings and faults whose pictures are kept: the latest."""

Positions = dict[str, bool]
"""Whether each relay and solenoid is pulled in."""


@dataclass(frozen=True)
class Picture:
    """The network with its relays held: what it is made of and the volts of every point.

    `starting` are motors switched on a moment ago: they do not turn yet.
    """

    positions: Positions
    starting: tuple[str, ...]
    found: Elements
    volts: Mapping[str, float]


@dataclass
class OwnMeter:
    """Takes readings of one machine; what was solved is kept.

    Args:
        machine: the machine.
        level: which third of the ranges of its faults it has, 0 to 2.
    """

    machine: OwnMachine
    level: int = 1
    _kept: dict[object, list[Picture]] = field(default_factory=dict)

    def value(self, reads: Reads, state: Mapping[str, str], faults: frozenset[str]) -> float:
        """V, A or ohms; lamp and glow as a share of the nominal volts; click and turn from 0 to 1."""
        pictures = self.pictures(state, faults)
        if reads.quantity == "lamp":
            return self._lamp(reads, state, faults)
        if reads.quantity == "turn":
            return self._turns(pictures, reads.part, faults) if len(pictures) == 1 else 0.0
        if reads.quantity == "click":
            stuck = any(effect.form == "closed" for effect, _ in self._effects(reads.part, faults))
            moves = {float(one.positions[reads.part]) for one in pictures}  # in and out and in again: it chatters
            return 0.0 if stuck else _mean(sorted(moves))
        return _mean([self._of(one, reads, faults) for one in pictures])

    def pictures(self, state: Mapping[str, str], faults: frozenset[str]) -> list[Picture]:
        """The machine at some settings, the others normal; several pictures, gone through for ever, if it chatters."""
        stand = {name: setting.normal for name, setting in self.machine.book.settings.items()} | dict(state)
        key = frozenset(stand.items()), faults
        if key not in self._kept:
            if len(self._kept) >= MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[key] = self._turned(stand, faults)
        return self._kept[key]

    def _turned(self, stand: Mapping[str, str], faults: frozenset[str]) -> list[Picture]:
        turns = self.machine.book.settings[KEY].values if KEY in stand else ("",)
        way = turns[1 : turns.index(stand[KEY]) + 1] or turns[:1] if KEY in stand else turns
        positions = {part: False for part in self.machine.parts if self.machine.kind(part).acts in MOVING}
        pictures: list[Picture] = []
        for turn in way:
            pictures = self._settled({**stand, KEY: turn}, faults, positions)
            positions = {part: all(one.positions[part] for one in pictures) for part in positions}
        return pictures

    def _settled(
        self, stand: Mapping[str, str], faults: frozenset[str], positions: Positions, more: Sequence[Resistor] = ()
    ) -> list[Picture]:
        """Contacts held, solved, and every magnet does what pulls at it, until the positions come back."""
        seen: list[Picture] = []
        starting: tuple[str, ...] = ()
        while all((one.positions, one.starting) != (positions, starting) for one in seen):
            found = elements(self.machine, stand, faults, self.level, positions)
            found = from_rest(replace(found, resistors=(*found.resistors, *more)), starting)
            seen.append(Picture(positions, starting, found, solve(found, self.machine.points)))
            before = positions
            moving = starting or tuple(positions)  # while a motor starts, its own solenoid alone may let go
            positions = {
                part: self._pulls(seen[-1], part, faults) if part in moving else was for part, was in before.items()
            }
            motored = {motor.part for motor in found.motors}
            starting = tuple(part for part in positions if positions[part] and not before[part] and part in motored)
        first = next(k for k, one in enumerate(seen) if (one.positions, one.starting) == (positions, starting))
        return seen[first:]

    def _pulls(self, one: Picture, part: str, faults: frozenset[str]) -> bool:
        pull, hold = thresholds(self.machine, part, self._effects(part, faults))
        return force(self.machine, one.found, part, one.volts) >= (hold if one.positions[part] else pull)

    def _effects(self, part: str, faults: frozenset[str]) -> list[tuple[Effect, float]]:
        return amounts(self.machine, faults, self.level).get(part, [])

    def _of(self, one: Picture, reads: Reads, faults: frozenset[str]) -> float:
        if reads.quantity == "amps":
            return self._amps(one, reads.part)
        if reads.quantity == "glow":
            ohms = proper_ohms(self.machine, reads.part, self._effects(reads.part, faults))
            return abs(self._amps(one, reads.part)) * ohms / self.machine.volts
        a, b = (self.machine.point(name) or "" for name in (reads.a, reads.b))
        if reads.quantity == "volts":
            meter = Resistor(a, b, METER_OHMS, "meter")
            volts = solve(replace(one.found, resistors=(*one.found.resistors, meter)), self.machine.points)
            return volts[a] - volts[b]
        sent = Motor(a, b, -TEST_AMPS, NEVER_STALLS, "meter")
        volts = solve(replace(one.found, motors=(*one.found.motors, sent)), self.machine.points)
        ohms = (volts[a] - volts[b]) / TEST_AMPS
        return inf if abs(ohms) > OPEN_LINE else ohms

    def _amps(self, one: Picture, part: str) -> float:
        """Through a plain part or a contact from its first end; out of the plus post of a battery."""
        mine = [r for r in one.found.resistors if r.part == part and r.path in ("", "contact")]
        if mine:
            return (one.volts[mine[0].a] - one.volts[mine[0].b]) / mine[0].ohms
        return sum(
            _drawn(battery.volts - one.volts[battery.a] + one.volts[battery.b], battery.ohms)
            for battery in one.found.batteries
            if battery.part == part
        )

    def _lamp(self, reads: Reads, state: Mapping[str, str], faults: frozenset[str]) -> float:
        """The share of its volts that a test lamp gets: it is held there last."""
        a, b = (self.machine.point(name) or "" for name in (reads.a, reads.b))
        before = self.pictures(state, faults)
        if a == b or all(abs(one.volts[a] - one.volts[b]) < 1e-6 for one in before):
            return 0.0
        stand = {name: setting.normal for name, setting in self.machine.book.settings.items()} | dict(state)
        positions = {part: all(one.positions[part] for one in before) for part in before[0].positions}
        lit = self._settled(stand, faults, positions, [Resistor(a, b, LAMP_OHMS[self.machine.volts], "lamp")])
        return _mean([abs(one.volts[a] - one.volts[b]) for one in lit]) / self.machine.volts

    def _turns(self, pictures: Sequence[Picture], part: str, faults: frozenset[str]) -> float:
        """How fast a starter turns the engine, as a share of full cranking speed."""
        verbs = {effect.form for effect, _ in self._effects(part, faults)}
        motors = [motor for motor in pictures[0].found.motors if motor.part == part]
        if not motors or verbs & {"locked", "slipping"}:
            return 0.0
        sound, motor, volts = self.machine.values(part), motors[0], pictures[0].volts
        whole = sound["crank_volts"] - sound["crank_amps"] * sound["armature_ohms"]
        return max(0.0, (volts[motor.a] - volts[motor.b] - motor.amps * motor.ohms) / whole)


def _drawn(lost: float, ohms: float) -> float:
    """The amps at which a battery loses so many volts: in its ohms, and 0.35 V * I / (|I| + 40 A) besides."""
    low, high = -1e6, 1e6
    for _ in range(80):
        middle = (low + high) / 2
        if middle * ohms + 0.35 * middle / (abs(middle) + 40) < lost:
            low = middle
        else:
            high = middle
    return high


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
