"""The bent curves: batteries that give way, motors that stall, what flows one way, settled in the few nodes they touch.

In the moment in which a solenoid switches its motor on, the motor stands still yet, and the volts dip. Common practice,
no source: a weak battery lets the plunger go in that dip and it chatters; relays and controllers have let the few
hundredths of a second pass before they move.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout, Magnetic
from coldiron.circuits.stamps import Cell, Motor, Stamp, Valve
from coldiron.record import dataclass, field, replace

DIP_VOLTS = 0.35
DIP_AMPS = 40.0
"""A 12 V battery loses DIP_VOLTS * amps / (amps + DIP_AMPS) besides what its inner ohms take: common practice."""

RISE_VOLTS = 4.0
RISE_AMPS = 25.0
"""A 12 V battery that an alternator charges comes up, in the minutes before it is read, by RISE_VOLTS * amps / (amps +
RISE_AMPS) besides its inner ohms: common practice. A full one takes some 12 A at 14 V then, a flat one twice that.
"""

SETTLED_VOLTS = 1e-7
"""The volts of a battery by its curve and by the network differ by no more: a ten-thousandth of what a meter shows."""

NEWTON_STEPS = 12
MOST_STEPS = 200
"""Steps of Newton's rule before chords take over, which always close in, but slower; and the most steps in all."""


Positions = tuple[bool, ...]
"""Which magnets are in, in the order of the layout."""

Held = list[float]
"""Conductances among the kept rows by slot from the plan's `first`, as they are before batteries and motors."""


@dataclass(slots=True)
class Ports:
    """What batteries and motors do in a solved network.

    `amps` of each battery; `running` for each motor, True at its own current and False when stalled; `near` are the
    amps of the batteries near which the straight stand-ins of the last step were taken, as chords or not. `held` are
    the amps each valve is held to, None where it follows its line. `charging` is True where an alternator has woken.
    """

    amps: list[float]
    running: list[bool]
    near: list[float]
    chord: bool
    held: list[float | None] = field(default_factory=list)
    charging: bool = False


def _bend(amps: float, *, charging: bool) -> tuple[float, float]:
    """The (volts, amps) of the curve of a battery on this side of rest."""
    return (RISE_VOLTS, RISE_AMPS) if charging and amps < 0 else (DIP_VOLTS, DIP_AMPS)


def dip(amps: float, *, charging: bool = False) -> float:
    """Volts a battery loses at so many amps drawn (less than 0 while it is charged), besides amps * ohms."""
    volts, half = _bend(amps, charging=charging)
    return volts * amps / (abs(amps) + half)


def _line(cell: Cell, amps: float, *, chord: bool, charging: bool) -> tuple[float, float]:
    """A straight stand-in for a battery near `amps`: (volts, ohms). The tangent, or the chord from rest."""
    volts, half = _bend(amps, charging=charging)
    near = abs(amps) + half
    if chord:
        return cell.volts, cell.ohms + volts / near
    slope = volts * half / near**2
    return cell.volts - volts * amps / near + slope * amps, cell.ohms + slope


@dataclass(frozen=True, slots=True)
class ReducedNetwork:
    """A network of which only the kept rows are left, and the batteries, motors and valves between them.

    `cells`, `motors` and `valves` go with the ports of the layout. `charging`: an alternator has woken. `factor` is
    worked further: at the end it answers what a small extra current would do.
    """

    layout: Layout
    factor: Factor
    held: Held
    cells: Sequence[Cell]
    motors: Sequence[Motor]
    valves: Sequence[Valve] = ()
    charging: bool = False


def settle(kept: ReducedNetwork, near: Sequence[float], running: list[bool]) -> tuple[list[float], Ports]:
    """Volts of the kept rows (others 0) and what the ports do, looked for from the given amps and motors.

    A motor's amps never fall with its volts, and the volts the network leaves it never rise with its amps. So there is
    one solution, and a motor that would draw more than its own current when stalled is running: each motor changes
    over at most once from stalled to running and once back. The same holds of valves, at either end of their line.
    """
    volts, ports = _balance(kept, near, running, [None if one.most > one.least else one.most for one in kept.valves])
    for _ in range(2 * len(kept.motors) + 4 * len(kept.valves)):
        turned = [
            runs_at(motor, volts[port.a] - volts[port.b])
            for motor, port in zip(kept.motors, kept.layout.motors, strict=True)
        ]
        held = bounds(kept, volts)
        if turned == ports.running and held == ports.held:
            break
        volts, ports = _balance(kept, ports.amps, turned, held)
    return volts, ports


def bounds(kept: ReducedNetwork, volts: Sequence[float]) -> list[float | None]:
    """The amps each valve is held to at these volts by row; None where it follows its line."""
    ports = kept.layout.valves
    return [valve.bound(volts[port.a] - volts[port.b]) for valve, port in zip(kept.valves, ports, strict=True)]


def straighten(kept: ReducedNetwork, ports: Ports) -> None:
    """Work the factor of a network that was settled before as it was at the end of that."""
    held = _resting(kept, ports.running, ports.held)
    for port, cell, amps in zip(kept.layout.batteries, kept.cells, ports.near, strict=True):
        if cell.alive:
            held[port.slot] += 1 / _line(cell, amps, chord=ports.chord, charging=ports.charging)[1]
    kept.factor.rework_last(kept.layout.plan, held)


def runs_at(motor: Motor, volts: float) -> bool:
    """Whether a motor runs at its own current with so many volts over it, and is not stalled."""
    return motor.ohms is not None and volts >= motor.amps * motor.ohms


def _resting(kept: ReducedNetwork, running: Sequence[bool], bound: Sequence[float | None]) -> Held:
    """What is held, with the motors that are plain ohms and the valves on their line."""
    held = kept.held.copy()
    for port, motor, runs in zip(kept.layout.motors, kept.motors, running, strict=True):
        if motor.ohms is not None and not runs:
            held[port.slot] += 1 / motor.ohms
    for port, valve, amps in zip(kept.layout.valves, kept.valves, bound, strict=True):
        if amps is None:
            held[port.slot] += 1 / valve.ohms
    return held


def _driven(kept: ReducedNetwork, running: Sequence[bool], bound: Sequence[float | None]) -> list[float]:
    """The amps that running motors and valves put into each row."""
    driven = [0.0] * (kept.layout.plan.size + 1)
    for port, motor, runs in zip(kept.layout.motors, kept.motors, running, strict=True):
        if runs:
            driven[port.a] -= motor.amps
            driven[port.b] += motor.amps
    for port, valve, amps in zip(kept.layout.valves, kept.valves, bound, strict=True):
        put = valve.volts / valve.ohms if amps is None else amps
        driven[port.a] += put
        driven[port.b] -= put
    return driven


def _balance(
    kept: ReducedNetwork, near: Sequence[float], running: list[bool], bound: list[float | None]
) -> tuple[list[float], Ports]:
    """Newton's rule on the batteries from amps `near`, then chords (which always close in)."""
    plan = kept.layout.plan
    factor = kept.factor
    resting = _resting(kept, running, bound)
    driven = _driven(kept, running, bound)
    live = [
        (k, port.a, port.b, port.slot, cell)
        for k, (port, cell) in enumerate(zip(kept.layout.batteries, kept.cells, strict=True))
        if cell.alive
    ]
    amps = list(near)
    for step in range(MOST_STEPS):
        chord = step >= NEWTON_STEPS
        put, held = driven.copy(), resting.copy()
        lines = []
        for k, a, b, slot, cell in live:
            emf, ohms = line = _line(cell, amps[k], chord=chord, charging=kept.charging)
            lines.append(line)
            held[slot] += 1 / ohms
            flow = emf / ohms
            put[a] += flow
            put[b] -= flow
        factor.rework_last(plan, held)
        volts = factor.kept_volts(plan, put)
        at = amps.copy()
        missed = 0.0
        for (k, a, b, _, cell), (emf, ohms) in zip(live, lines, strict=True):
            over = volts[a] - volts[b]
            amps[k] = flow = (emf - over) / ohms
            lost = dip(flow, charging=kept.charging) + cell.ohms * flow
            missed = max(missed, abs(cell.volts - lost - over))
        if missed <= SETTLED_VOLTS:
            break
    return volts, Ports(amps, running, at, chord, bound, kept.charging)


def switched_on(
    magnets: Sequence[Magnetic], before: Positions, after: Positions, conditions: Mapping[str, Stamp]
) -> tuple[str, ...]:
    """The motors whose own magnet came in between two sweeps."""
    moved = zip(magnets, before, after, strict=True)
    return tuple([one.part for one, was, now in moved if now and not was and conditions[one.part].motor is not None])


def ridden_out(magnets: Sequence[Magnetic], before: Positions, after: Positions, starting: Sequence[str]) -> Positions:
    """The positions after the dip: what does not sit on a starting motor stays as it was."""
    return tuple([now if one.part in starting else was for one, was, now in zip(magnets, before, after, strict=True)])


def from_rest(conditions: Mapping[str, Stamp], starting: Sequence[str]) -> Mapping[str, Stamp]:
    """The conditions with some motors that have not begun to turn: they are plain ohms."""
    if not starting:
        return conditions
    dipped = dict(conditions)
    for part in starting:
        motor = dipped[part].motor
        if motor is not None:
            dipped[part] = replace(dipped[part], motor=replace(motor, amps=inf))
    return dipped
