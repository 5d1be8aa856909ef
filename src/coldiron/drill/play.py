"""One drill as it stands: what was measured, fixed, held likely and prepared. Immutable; every deed gives a new one."""

from __future__ import annotations

import random
from collections.abc import Mapping
from math import isinf

from coldiron.book.history import COMPLAINT
from coldiron.circuits.simulated import ZERO_OHMS, SimulatedMachine
from coldiron.drill.behaves import complaint_of, nearest_finding
from coldiron.drill.step import Costs, Probe
from coldiron.drill.thinking import Causes, first_thoughts, foreseen_of
from coldiron.drill.world import HAND, World
from coldiron.record import dataclass, field, replace

CHOSEN = ("glow", "click", "turn", "eye")
"""Quantities that are seen or heard, and so fall in a finding of their check."""

SHAKE = {"volts": 0.01, "ohms": 0.02, "lamp": 0.0, "amps": 0.5}
"""How far a meter is off between points where the book reads nothing: common practice, no source."""

BRIGHT, DIM, FAINT = 0.75, 0.4, 0.08
"""Shares of the nominal volts from which a test light is bright, dim, faint: an estimate, no source."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One thing done at the machine: what was shown, in words and as it is weighed, and the odds before and after."""

    probe: Probe
    words: str
    shown: float | str
    minutes: float
    before: Causes
    after: Causes
    trusted: bool = False


@dataclass(frozen=True, slots=True)
class Play:
    """A drill.

    Attributes:
        world: the machine and its owner.
        present: what is wrong with it now.
        told: what it does now, a complaint of the book.
        causes: the odds of every cause by all that was read.
        settings: what does not stand at normal.
        opened: areas that are open.
        prepared: cautions seen to.
        held: parts that the apprentice holds likely.
        shots: what was done at the machine, in order.
        fixed: faults fixed, in order; `in_vain` those that were not there.
        missed: cautions that were not seen to before their step.
        minutes: spent so far, hints included; `hints` so many of them were for hints.
        since: steps made before the latest fix that changed something.
        zeroed: whether the leads were touched together.
        over: why the drill has ended; empty while it goes on: `found`, `hurt`, `left`.
    """

    world: World
    present: frozenset[str]
    told: str
    causes: Causes
    settings: Mapping[str, str] = field(default_factory=dict)
    opened: frozenset[str] = frozenset()
    prepared: frozenset[str] = frozenset()
    held: frozenset[str] = frozenset()
    shots: tuple[Shot, ...] = ()
    fixed: tuple[str, ...] = ()
    in_vain: tuple[str, ...] = ()
    missed: tuple[str, ...] = ()
    minutes: float = 0.0
    hints: float = 0.0
    since: int = 0
    zeroed: bool = False
    over: str = ""

    @property
    def costs(self) -> Costs:
        """What steps cost from here."""
        return Costs(self.opened)

    @property
    def done(self) -> frozenset[str]:
        """Checks of the book made since the latest fix."""
        return frozenset(shot.probe.check for shot in self.shots[self.since :] if shot.probe.check)


def begin(world: World) -> Play:
    """A drill before anything is done."""
    return Play(world, frozenset(world.faults), world.told, first_thoughts(world.setup, world.told))


def take(play: Play, probe: Probe) -> Play:
    """Do a step at the machine: minutes pass, covers open, the machine shows something, the odds move."""
    probe = replace(probe, state={**play.settings, **probe.state})
    real = SimulatedMachine(play.world.machine, play.present, play.world.seed, HAND)
    value, shown, words = _shown(play, real, probe)
    foreseen = foreseen_of(play.world.setup)
    after = play.causes.weighed(foreseen.likelihoods(probe, shown, play.causes.sets))
    minutes = play.costs.minutes(play.world.book, probe)
    trusted = value is not None and _ghost(play, real, probe, value)
    shot = Shot(probe, words, shown, minutes, play.causes, after, trusted)
    return replace(
        play,
        causes=after,
        shots=(*play.shots, shot),
        opened=play.opened | set(probe.areas),
        minutes=play.minutes + minutes,
    )


def _shown(play: Play, real: SimulatedMachine, probe: Probe) -> tuple[float | None, float | str, str]:
    """The value of a meter if it is one, what is weighed, and what a person sees."""
    book, machine = play.world.book, play.world.machine
    if probe.check and probe.reads.quantity in CHOSEN:
        found = real.answer(probe.check)
        check = book.checks[probe.check]
        name = found.sign or nearest_finding(check, found.number or 0.0, machine.volts, machine.batteries)
        meaning = next((one.meaning for one in check.findings if one.id == name), name)
        return None, name, meaning or name.replace("_", " ")
    value = real.solved(probe.reads, probe.state)
    chance = random.Random(f"{play.world.seed} {probe.reads} {sorted(probe.state.items())}")  # noqa: S311 - no secret
    if not isinf(value):
        value += chance.gauss(0.0, SHAKE[probe.reads.quantity])
    leads = 0.0 if play.zeroed or probe.reads.quantity != "ohms" else ZERO_OHMS
    return value, value, meter_words(probe.reads.quantity, value + leads)


def meter_words(quantity: str, value: float) -> str:
    """What a meter or a test light shows."""
    if quantity == "lamp":
        share = abs(value)
        return "bright" if share >= BRIGHT else "dim" if share >= DIM else "faint" if share >= FAINT else "dark"
    if isinf(value):
        return "OL"
    return {"volts": f"{value:.2f} V", "ohms": f"{max(value, 0.0):.1f} ohm", "amps": f"{value:.0f} A"}[quantity]


def _ghost(play: Play, real: SimulatedMachine, probe: Probe, value: float) -> bool:
    """Whether a meter shows full volts where a test light would not burn well: a reading without load."""
    if probe.reads.quantity != "volts" or probe.loaded or value < BRIGHT * play.world.machine.volts:
        return False
    lit = real.solved(replace(probe.reads, quantity="lamp"), probe.state)
    return lit < BRIGHT


def fix(play: Play, fault: str) -> Play:
    """Fix a fault, there or not. A victim that is fixed while its cause is still there fails again."""
    machine = play.world.machine
    mended = frozenset(machine.mended_with(fault))
    there = bool(play.present & mended)
    left = play.present - mended
    cause = play.world.faults[0]
    again = frozenset(play.world.faults[1:]) & mended if cause in left else frozenset()
    present = left | again
    causes = play.causes.without(mended)
    told = play.told
    if present:
        table = play.world.setup.table
        told = complaint_of(SimulatedMachine(machine, present, play.world.seed, HAND)) or play.told
        place = table.findings(COMPLAINT).index(told)
        causes = causes.weighed([table.chances(COMPLAINT, one)[place] for one in causes.sets])
    return replace(
        play,
        present=present,
        causes=causes,
        told=told,
        fixed=(*play.fixed, fault),
        in_vain=play.in_vain if there else (*play.in_vain, fault),
        minutes=play.minutes + machine.faults[fault].what.minutes,
        since=len(play.shots) if there else play.since,
        over="found" if not present else "",
    )
