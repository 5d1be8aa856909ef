"""A key position held: relays and plungers that take their time, a motor that runs up or does not, chatter or rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from foreign.elements import Driver, Relay, Starter
from foreign.network import UnsettledError
from foreign.paths import State, come_apart, emfs_of, motor, net_of, wishes
from foreign.world import World

STEP = 0.005
"""Seconds of a step; the quickest relay needs two of them."""

HELD = 1.6
"""Seconds that START is held."""

QUIET = 20
"""So many steps without a move, and it has settled."""

RUN_UP = 0.1
"""Seconds in which a motor without load would reach its speed: common practice, no source."""


@dataclass(frozen=True)
class Held:
    """What became of a machine at a key position.

    `volts` are those a meter shows: where it chatters, the mean. `clicks` counts moves of each relay and plunger;
    `speed` is the share of its usual cranking speed that each motor comes to; `least` the lowest volts on the way.
    """

    world: World
    state: State
    volts: Mapping[str, float]
    clicks: Mapping[str, int] = field(default_factory=dict)
    chatters: bool = False
    speed: Mapping[str, float] = field(default_factory=dict)
    least: Mapping[str, float] = field(default_factory=dict)


def hold(world: World, before: State | None = None) -> Held:
    """A key position held until it settles; `before` is how it stood, all let go if left out."""
    state = before.copy() if before else State()
    state.speed = {each.id: 0.0 for each in world.elements if isinstance(each, Starter)}
    needs = {each.id: each.ms / 1000 for each in world.elements if isinstance(each, Relay | Driver | Starter)}
    clicks: dict[str, int] = {}
    waits: dict[str, float] = {}
    seen: list[dict[str, float]] = []
    net, quiet, late, steps = net_of(world, state), 0, 0, int(HELD / STEP)
    for step in range(steps):
        volts = net.solve(emfs_of(world, state))
        seen.append(volts)
        changes = _moves(state, wishes(world, state, volts), waits, needs)
        for name in changes:
            clicks[name] = clicks.get(name, 0) + 1
        apart = come_apart(world, volts) - state.apart
        state.apart |= apart
        late += len(changes) if step > steps / 2 else 0
        if changes or apart:
            net = net_of(world, state)
        moved = _run_up(world, state, volts)
        quiet = 0 if moved or changes or apart or waits else quiet + 1
        if quiet >= QUIET:
            break
    least = {point: min(each[point] for each in seen) for point in seen[0]}
    if late >= 4:
        last = seen[len(seen) // 2 :]
        mean = {point: float(np.mean([each[point] for each in last])) for point in seen[0]}
        return Held(world, state, mean, clicks, True, dict.fromkeys(state.speed, 0.0), least)
    volts = _settled(world, state, seen[-1])
    return Held(world, state, volts, clicks, False, _speeds(world, volts), least)


def _settled(world: World, state: State, volts: dict[str, float]) -> dict[str, float]:
    """The volts with motors at the speed they come to."""
    try:
        return net_of(world, still(state)).solve()
    except UnsettledError:
        return volts


def still(state: State) -> State:
    """A state whose motors have come to their speed."""
    return State(dict(state.moved), None, set(state.apart))


def _moves(state: State, wished: Mapping[str, bool], waits: dict[str, float], needs: Mapping[str, float]) -> list[str]:
    """What moves in this step: what has wished to for as long as it needs; letting go takes half of that."""
    moved = []
    for name, wish in wished.items():
        if wish == state.moved.get(name, False):
            waits.pop(name, None)
            continue
        waits[name] = waits.get(name, 0.0) + STEP
        if waits[name] >= needs[name] * (1.0 if wish else 0.5):
            state.moved[name] = wish
            del waits[name]
            moved.append(name)
    return moved


def _run_up(world: World, state: State, volts: Mapping[str, float]) -> bool:
    """One step of each motor's speed; whether any still changes."""
    assert state.speed is not None
    changes = False
    for each in world.elements:
        if not isinstance(each, Starter):
            continue
        turning, speed = motor(world, each.id), state.speed[each.id]
        amps = (volts[each.motor] - volts[each.case] - turning.emf * speed) / turning.ohm
        step = STEP / RUN_UP * (amps - turning.needs(speed)) / (turning.emf / turning.ohm)
        state.speed[each.id] = max(0.0, speed + step)
        changes = changes or abs(state.speed[each.id] - speed) > 2e-3
    return changes


def _speeds(world: World, volts: Mapping[str, float]) -> dict[str, float]:
    starters = [each for each in world.elements if isinstance(each, Starter)]
    return {each.id: motor(world, each.id).speed(volts[each.motor] - volts[each.case]) for each in starters}
