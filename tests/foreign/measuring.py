"""What a meter, a lamp, an ear finds on a machine: volts, ohms, amps, light, clicks, turning, between trade points."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import NamedTuple

from foreign.elements import Any_, Battery, Lamp, Load, Relay, Resistor, Starter, Wire
from foreign.loading import part_of, points_of
from foreign.network import Bent, Net, Straight, amps_through
from foreign.paths import State, paths_of
from foreign.record import Does
from foreign.running import Held, hold
from foreign.symptoms import Light, Shown, does, light, show, speed
from foreign.world import World

METER_OHMS = 10e6
"""Of a voltmeter: common practice, no source."""

OPEN_LINE = 20e6
"""Ohms from which a meter shows an open line."""


def lowest(world: World) -> list[Battery]:
    """The batteries whose minus is that of the machine: the low one of a pair in series, all that lie in parallel."""
    ground = {"battery_minus"}
    copper = [(each.a, each.b) for each in world.elements if isinstance(each, Wire | Resistor) and world.has(each)]
    while found := [pair for pair in copper if len(ground & set(pair)) == 1]:
        ground |= {point for pair in found for point in pair}
    return [each for each in world.elements if isinstance(each, Battery) and each.minus in ground]


class Setup(NamedTuple):
    """How a machine stands for a check: key, settings by trade name, gear fitted for it."""

    key: str = "off"
    stands: Mapping[str, str] = MappingProxyType({})
    gear: tuple[Any_, ...] = ()


@dataclass
class Bench:
    """A machine, the names of what is wrong with it, and what was measured: each key position is held once a setup."""

    world: World
    faults: frozenset[str] = frozenset()
    _held: dict[str, Held] = field(default_factory=dict)
    _shown: Shown | None = None

    def points(self) -> set[str]:
        """The points a probe can touch."""
        return {point for element in self.world.elements for point in points_of(element)}

    def held(self, setup: Setup, *more: Any_) -> Held:
        """The machine at a key position, from OFF over ON, with settings and gear for a test."""
        gear = (*setup.gear, *more)
        name = f"{setup.key} {sorted(setup.stands.items())} {gear}"
        if name not in self._held:
            world = self.world.at(setup.key, **setup.stands).with_also(*gear)
            before = self.held(setup._replace(key="on"), *more).state if setup.key == "start" else None
            self._held[name] = hold(world, before)
        return self._held[name]

    def does(self) -> Does:
        """What an owner says that it does."""
        if self._shown is None:
            self._shown = show(self.world)
        return does(self._shown)

    def light(self, seen: str) -> Light:
        """How the lamps of a sort shine with the key at ON."""
        if self._shown is None:
            self._shown = show(self.world)
        return light(self._shown.on, seen)

    def volts(self, a: str, b: str, setup: Setup) -> float:
        """Volts from a to b, the meter's ohms between them."""
        meter = Load(kind="load", id="meter", a=a, b=b, ohm=METER_OHMS)
        held = self.held(setup)
        if abs(held.volts[a] - held.volts[b]) < 0.05 or self._carries(a, b):
            return held.volts[a] - held.volts[b]
        held = self.held(setup, meter)
        return held.volts[a] - held.volts[b]

    def _carries(self, a: str, b: str) -> bool:
        """Whether both points are on something thick, where a meter changes nothing."""
        ends = {
            point for each in self.world.elements if isinstance(each, Battery | Starter) for point in points_of(each)
        }
        return a in ends and b in ends

    def lamp(self, a: str, b: str, setup: Setup) -> float:
        """Light of a test lamp of 21 W: its volts as a share of the machine's."""
        volts = float(self.world.machine.volts)
        lamp = Lamp(kind="lamp", id="test_lamp", a=a, b=b, watts=21, volts=volts)
        held = self.held(setup, lamp)
        return (held.volts[a] - held.volts[b]) / volts

    def ohms(self, a: str, b: str, setup: Setup) -> float:
        """Ohms from a to b with all batteries off, by a meter that sends a third of a volt through a kilohm."""
        world = self.world.at(setup.key, **setup.stands)
        elements = [each for each in world.elements if not isinstance(each, Battery)]
        paths = [path for each in elements for path in paths_of(world, each, State(speed={}))]
        straight = [path for path in paths if isinstance(path, Straight)]
        meter = Straight("meter", a, b, 1e-3, 0.3)
        names = dict.fromkeys(point for each in world.elements for point in points_of(each))
        bent = [path for path in paths if isinstance(path, Bent)]
        net = Net(tuple(names), world.machine.reference, [*straight, meter], bent)
        volts = net.solve()
        across = volts[a] - volts[b]
        return min(across * 1000 / max(0.3 - across, 1e-9), 1e9)

    def amps(self, part: str, setup: Setup) -> float | None:
        """Amps through the thickest element of a trade part; nothing where there is none."""
        held = self.held(setup)
        wires = [
            each
            for each in held.world.elements
            if part_of(each) == part and isinstance(each, Wire | Resistor | Battery)
        ]
        if not wires:
            return None
        paths = [path for path in paths_of(held.world, wires[0], held.state) if not path.name.endswith(".hold_in")]
        return abs(sum(amps_through(paths, held.volts).values()))

    def standing_amps(self) -> float:
        """Amps out of the batteries with all off."""
        held = self.held(Setup())
        paths = [path for each in lowest(self.world) for path in paths_of(self.world, each, held.state)]
        return -sum(amps_through(paths, held.volts).values())

    def turns(self, setup: Setup) -> str:
        """How the engine turns: none, slow, normal."""
        found = speed(self.held(setup))
        slow = self.world.machine.slow_below
        return "normal" if found >= slow else "slow" if found > 0.03 else "none"

    def clicks(self, part: str, setup: Setup) -> str | None:
        """What a relay or plunger does: clicks, chatters, silent; nothing where the part is not there."""
        held = self.held(setup)
        movers = [each for each in held.world.elements if isinstance(each, Relay | Starter) and part_of(each) == part]
        if not movers:
            return None
        moves = max(held.clicks.get(each.id, 0) for each in movers)
        stuck = any(each.stuck for each in movers)
        return "silent" if stuck or not moves else "chatters" if moves > 4 else "clicks"
