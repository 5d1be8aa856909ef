"""The paths of a machine at one moment: which relays are in, which plunger is home, how fast the motor turns."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from foreign.elements import Alternator, Any_, Battery, Diode, Driver, Lamp, Load, Relay, Resistor, Starter, Wire
from foreign.loading import points_of
from foreign.network import Bent, Net, Straight
from foreign.physics import Motor, amps_of, lamp_amps, motor_of, source_of
from foreign.world import OPEN, World

METER = 10e6
"""Ohms of a voltmeter: common practice, no source."""

# Milliohm of a meter of copper of a square millimeter at 20 C: IEC 60228 class 5 lies a little above 17.24 (IACS).
COPPER, PER_DEGREE = 18.5, 0.00393


@dataclass
class State:
    """What has moved: relays, plungers and outputs that are in; speed of motors while they run up; cells come apart."""

    moved: dict[str, bool] = field(default_factory=dict)
    speed: dict[str, float] | None = None
    apart: set[str] = field(default_factory=set)

    def copy(self) -> State:
        """The same, to go on from."""
        return State(dict(self.moved), None if self.speed is None else dict(self.speed), set(self.apart))


def net_of(world: World, state: State) -> Net:
    """The network of a machine in a state."""
    names = dict.fromkeys(point for element in world.elements for point in points_of(element))
    paths = [path for element in world.elements for path in paths_of(world, element, state)]
    straight = [path for path in paths if isinstance(path, Straight)]
    return Net(tuple(names), world.machine.reference, straight, [path for path in paths if isinstance(path, Bent)])


def emfs_of(world: World, state: State) -> dict[str, float]:
    """The back emf of each motor that runs up, by the name of its path."""
    return {f"{name}.motor": motor(world, name).emf * speed for name, speed in (state.speed or {}).items()}


def motor(world: World, name: str) -> Motor:
    """The motor of a starter by its id."""
    now = next(each for each in world.elements if each.id == name)
    sound = next((each for each in world.machine.elements if each.id == name), now)
    assert isinstance(now, Starter)
    assert isinstance(sound, Starter)
    return motor_of(now, sound, world.oil_c, world.machine.oil_thin)


def paths_of(world: World, element: Any_, state: State) -> Iterator[Straight | Bent]:
    """The paths of an element."""
    if not world.has(element):
        return
    match element:
        case Wire() | Resistor() | Load() | Driver():
            yield Straight(element.id, element.a, element.b, _siemens(world, element, state))
        case Lamp():
            yield Bent(element.id, element.a, element.b, lambda v: lamp_amps(element, v))
        case Diode():
            yield Bent(element.id, element.a, element.b, lambda v: _diode(element, v))
        case Alternator():
            yield from _alternator(world, element)
        case Battery():
            yield from _battery(world, element, state)
        case Relay():
            yield from _relay(element, state)
        case Starter():
            yield from _starter(world, element, state)


def _siemens(world: World, element: Wire | Resistor | Load | Driver, state: State) -> float:
    match element:
        case Wire():
            return 1000 / wire_mohm(element, world.air_c)
        case Load():
            return 1 / element.ohm
        case Driver():
            return 1000 / (element.mohm if _in(element, state) else OPEN)
        case _:
            return 1000 / element.mohm


def wire_mohm(wire: Wire, air_c: float) -> float:
    """Milliohms of a wire with its joints at the temperature of the air."""
    return COPPER / wire.mm2 * wire.m * (1 + PER_DEGREE * (air_c - 20)) + wire.j + wire.mohm


def _in(element: Relay | Driver | Starter, state: State) -> bool:
    return element.stuck == "closed" or (state.moved.get(element.id, False) and element.stuck != "open")


def _diode(diode: Diode, volts: float) -> tuple[float, float]:
    siemens = 1000 / diode.mohm
    if volts <= diode.drop:
        return volts * 1e-6, 1e-6
    return diode.drop * 1e-6 + (volts - diode.drop) * siemens, siemens


def _alternator(world: World, element: Alternator) -> Iterator[Straight]:
    yield Straight(element.id, element.out, element.case, 1 / element.leak_ohm)
    if world.running:
        siemens = 1000 / element.mohm
        yield Straight(f"{element.id}.charge", element.out, element.case, siemens, element.charge_volts)


def _battery(world: World, element: Battery, state: State) -> Iterator[Straight | Bent]:
    if element.id in state.apart:
        yield Straight(element.id, element.plus, element.minus, 1 / 30.0, source_of(element, world.air_c).emf)
        return
    source = source_of(element, world.air_c)
    yield Bent(element.id, element.plus, element.minus, lambda v: amps_of(source, v))


def _relay(element: Relay, state: State) -> Iterator[Straight]:
    yield Straight(f"{element.id}.coil", *element.coil, 1 / element.ohm)
    if _in(element, state):
        yield Straight(f"{element.id}.contact", *element.contact, 1000 / element.mohm)
    elif element.rest:
        yield Straight(f"{element.id}.rest", *element.rest, 1000 / element.mohm)


def _starter(world: World, element: Starter, state: State) -> Iterator[Straight | Bent]:
    yield Straight(f"{element.id}.pull_in", element.s, element.motor, 1 / element.pull_in)
    yield Straight(f"{element.id}.hold_in", element.s, element.case, 1 / element.hold_in)
    if _in(element, state):
        yield Straight(f"{element.id}.contact", element.stud, element.motor, 1000 / element.contact_mohm)
    turning = motor(world, element.id)
    if state.speed is None:
        yield Bent(f"{element.id}.motor", element.motor, element.case, turning.amps)
    else:
        yield Straight(f"{element.id}.motor", element.motor, element.case, 1 / turning.ohm)


def wishes(world: World, state: State, volts: Mapping[str, float]) -> dict[str, bool]:
    """What each relay, plunger and output would do at these volts: be in or not."""
    usual = {each.id: each for each in world.machine.elements}
    found = {}
    for element in world.elements:
        now = state.moved.get(element.id, False)
        if isinstance(element, Relay):
            found[element.id] = world.has(element) and _drawn(element, usual.get(element.id), volts, now=now)
        elif isinstance(element, Driver):
            found[element.id] = world.has(element) and all(
                volts[need.plus] - volts[need.minus] >= (need.hold if now else need.volts) for need in element.needs
            )
        elif isinstance(element, Starter):
            known = usual.get(element.id, element)
            assert isinstance(known, Starter)
            found[element.id] = world.has(element) and _pulled(element, known, volts, now=now)
    return found


def _drawn(element: Relay, known: Any_ | None, volts: Mapping[str, float], *, now: bool) -> bool:
    """A coil pulls by its amps: one with more ohms than it had needs more volts, an open one never does."""
    ohm = known.ohm if isinstance(known, Relay) else element.ohm
    across = abs(volts[element.coil[0]] - volts[element.coil[1]]) * min(1.0, ohm / element.ohm)
    return across >= (element.hold if now else element.pull)


def _pulled(element: Starter, known: Starter, volts: Mapping[str, float], *, now: bool) -> bool:
    """Both windings have the same turns, so their amps add up: at rest both pull, at home the hold-in alone holds."""
    amps = (volts[element.s] - volts[element.motor]) / element.pull_in
    amps += (volts[element.s] - volts[element.case]) / element.hold_in
    if now:
        return abs(amps) >= known.hold / known.hold_in
    return abs(amps) >= known.pull * (1 / known.pull_in + 1 / known.hold_in)


def come_apart(world: World, volts: Mapping[str, float]) -> set[str]:
    """Batteries whose cracked link inside opens at what flows."""
    found = set()
    for element in world.elements:
        if isinstance(element, Battery) and element.opens_above < 1e8:
            amps, _ = amps_of(source_of(element, world.air_c), volts[element.plus] - volts[element.minus])
            if abs(amps) > element.opens_above:
                found.add(element.id)
    return found
