"""The bent curves: batteries that give way under load and motors that stall, settled in the few nodes they touch.

In the moment in which a solenoid switches its motor on, the motor stands still yet, and the volts dip. Common practice,
no source: a weak battery lets the plunger go in that dip and it chatters; relays and controllers have let the few
hundredths of a second pass before they move.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout, Magnetic
from coldiron.circuits.stamps import Cell, Motor, Stamp
from coldiron.record import dataclass, replace

DIP_VOLTS = 0.35
DIP_AMPS = 40.0
"""A 12 V battery loses DIP_VOLTS * amps / (amps + DIP_AMPS) besides what its inner ohms take: common practice."""

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
    amps of the batteries near which the straight stand-ins of the last step were taken, as chords or not.
    """

    amps: list[float]
    running: list[bool]
    near: list[float]
    chord: bool


def dip(amps: float) -> float:
    """Volts a battery loses at so many amps drawn (less than 0 while it is charged), besides amps * ohms."""
    return DIP_VOLTS * amps / (abs(amps) + DIP_AMPS)


def _line(cell: Cell, amps: float, *, chord: bool) -> tuple[float, float]:
    """A straight stand-in for a battery near `amps`: (volts, ohms). The tangent, or the chord from rest."""
    if chord:
        return cell.volts, cell.ohms + DIP_VOLTS / (abs(amps) + DIP_AMPS)
    near = abs(amps) + DIP_AMPS
    slope = DIP_VOLTS * DIP_AMPS / near**2
    return cell.volts - DIP_VOLTS * amps / near + slope * amps, cell.ohms + slope


@dataclass(frozen=True, slots=True)
class ReducedNetwork:
    """A network of which only the kept rows are left, and the batteries and motors between them.

    `cells` and `motors` go with the ports of the layout. `factor` is worked further: at the end it answers what a small
    extra current would do.
    """

    layout: Layout
    factor: Factor
    held: Held
    cells: Sequence[Cell]
    motors: Sequence[Motor]


def settle(kept: ReducedNetwork, near: Sequence[float], running: list[bool]) -> tuple[list[float], Ports]:
    """Volts of the kept rows (others 0) and what the ports do, looked for from the given amps and motors.

    A motor's amps never fall with its volts, and the volts the network leaves it never rise with its amps. So there is
    one solution, and a motor that would draw more than its own current when stalled is running: each motor changes
    over at most once from stalled to running and once back.
    """
    volts, ports = _balance(kept, near, running)
    for _ in range(2 * len(kept.motors)):
        turned = [
            runs_at(motor, volts[port.a] - volts[port.b])
            for motor, port in zip(kept.motors, kept.layout.motors, strict=True)
        ]
        if turned == ports.running:
            break
        volts, ports = _balance(kept, ports.amps, turned)
    return volts, ports


def straighten(kept: ReducedNetwork, ports: Ports) -> None:
    """Work the factor of a network that was settled before as it was at the end of that."""
    held = _resting(kept, ports.running)
    for port, cell, amps in zip(kept.layout.batteries, kept.cells, ports.near, strict=True):
        if cell.alive:
            held[port.slot] += 1 / _line(cell, amps, chord=ports.chord)[1]
    kept.factor.rework_last(kept.layout.plan, held)


def runs_at(motor: Motor, volts: float) -> bool:
    """Whether a motor runs at its own current with so many volts over it, and is not stalled."""
    return motor.ohms is not None and volts >= motor.amps * motor.ohms


def _resting(kept: ReducedNetwork, running: Sequence[bool]) -> Held:
    """What is held, with the motors that are plain ohms."""
    held = kept.held.copy()
    for port, motor, runs in zip(kept.layout.motors, kept.motors, running, strict=True):
        if motor.ohms is not None and not runs:
            held[port.slot] += 1 / motor.ohms
    return held


def _balance(kept: ReducedNetwork, near: Sequence[float], running: list[bool]) -> tuple[list[float], Ports]:
    """Newton's rule on the batteries from amps `near`, then chords (which always close in)."""
    plan = kept.layout.plan
    factor = kept.factor
    resting = _resting(kept, running)
    driven = [0.0] * (plan.size + 1)
    for port, motor, runs in zip(kept.layout.motors, kept.motors, running, strict=True):
        if runs:
            driven[port.a] -= motor.amps
            driven[port.b] += motor.amps
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
            emf, ohms = line = _line(cell, amps[k], chord=chord)
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
            missed = max(missed, abs(cell.volts - dip(flow) - cell.ohms * flow - over))
        if missed <= SETTLED_VOLTS:
            break
    return volts, Ports(amps, running, at, chord)


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
