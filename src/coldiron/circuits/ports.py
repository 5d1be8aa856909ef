"""The bent curves: batteries that give way under load and motors that stall, settled in the few nodes they touch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout
from coldiron.circuits.stamps import Cell, Motor

DIP_VOLTS = 0.35
DIP_AMPS = 40.0
"""A 12 V battery loses DIP_VOLTS * amps / (amps + DIP_AMPS) besides what its inner ohms take: common practice."""

NEWTON_STEPS = 12
NEWTON_SETTLED = 1e-6
CHORD_SETTLED = 1e-10
MOST_STEPS = 200
"""Steps of Newton's rule before chords take over, the last relative change in amps each may end with, and the most
steps in all. Newton's error is of the order of the square of its last change; chords always close in, but slower."""


class Ports:
    """Amps of each battery and whether each motor runs at its own current or is stalled, for one network."""

    __slots__ = ("amps", "running")

    def __init__(self, amps: list[float], running: list[bool]) -> None:
        self.amps = amps
        self.running = running


def dip(amps: float) -> float:
    """Volts a battery loses at so many amps drawn (less than 0 while it is charged), besides amps * ohms."""
    return DIP_VOLTS * amps / (abs(amps) + DIP_AMPS)


def _line(cell: Cell, amps: float, *, chord: bool) -> tuple[float, float]:
    """A straight stand-in for a battery near `amps`: (volts, ohms). The tangent, or the chord from rest."""
    if chord:
        return cell.volts, cell.ohms + DIP_VOLTS / (abs(amps) + DIP_AMPS)
    slope = DIP_VOLTS * DIP_AMPS / (abs(amps) + DIP_AMPS) ** 2
    return cell.volts - dip(amps) + slope * amps, cell.ohms + slope


@dataclass(frozen=True, slots=True)
class Kept:
    """A network of which only the kept rows are left, and the batteries and motors between them.

    `held` are the conductances among the kept rows, `cells` and `motors` go with the ports of the layout. `factor` is
    worked further: at the end it answers what a small extra current would do.
    """

    layout: Layout
    factor: Factor
    held: Sequence[tuple[int, float]]
    cells: Sequence[Cell]
    motors: Sequence[Motor]


def settle(kept: Kept, near: Ports) -> tuple[list[float], Ports]:
    """Volts of the kept rows (others 0) and what the ports do, looked for from `near`.

    A motor's amps never fall with its volts, and the volts the network leaves it never rise with its amps. So there is
    one solution, and a motor that would draw more than its own current when stalled is running: each motor changes
    over at most once from stalled to running and once back.
    """
    running = near.running
    amps = near.amps.copy()
    volts = _balance(kept, amps, running)
    for _ in range(2 * len(kept.motors)):
        turned = [
            runs_at(motor, volts[port.a] - volts[port.b])
            for motor, port in zip(kept.motors, kept.layout.motors, strict=True)
        ]
        if turned == running:
            break
        running = turned
        volts = _balance(kept, amps, running)
    return volts, Ports(amps, running)


def runs_at(motor: Motor, volts: float) -> bool:
    """Whether a motor runs at its own current with so many volts over it, and is not stalled."""
    return motor.ohms is not None and volts >= motor.amps * motor.ohms


def _balance(kept: Kept, amps: list[float], running: Sequence[bool]) -> list[float]:
    """Newton's rule on the batteries, then chords (which always close in); `amps` of the batteries are replaced."""
    plan = kept.layout.plan
    resting: list[tuple[int, float]] = []
    driven: list[tuple[int, int, float]] = []
    for port, motor, runs in zip(kept.layout.motors, kept.motors, running, strict=True):
        if runs:
            driven.append((port.a, port.b, motor.amps))
        elif motor.ohms is not None:
            resting.append((port.slot, 1 / motor.ohms))
    live = [(k, port, cell) for k, (port, cell) in enumerate(zip(kept.layout.batteries, kept.cells, strict=True))]
    live = [(k, port, cell) for k, port, cell in live if cell.alive]
    for step in range(MOST_STEPS):
        lines = [_line(cell, amps[k], chord=step >= NEWTON_STEPS) for k, _, cell in live]
        put = [0.0] * (plan.size + 1)
        for a, b, flow in driven:
            put[a] -= flow
            put[b] += flow
        added = resting.copy()
        for (_, port, _), (emf, ohms) in zip(live, lines, strict=True):
            added.append((port.slot, 1 / ohms))
            put[port.a] += emf / ohms
            put[port.b] -= emf / ohms
        kept.factor.rework_last(plan, kept.held, added)
        volts = kept.factor.volts(plan, put, plan.top)
        worst = 0.0
        for (k, port, _), (emf, ohms) in zip(live, lines, strict=True):
            flow = (emf - volts[port.a] + volts[port.b]) / ohms
            worst = max(worst, abs(flow - amps[k]) / (1 + abs(flow)))
            amps[k] = flow
        if worst <= (NEWTON_SETTLED if step < NEWTON_STEPS else CHORD_SETTLED):
            break
    return volts
