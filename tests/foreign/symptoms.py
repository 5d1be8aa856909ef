"""What somebody in the seat sees and hears at each key position, and what he calls it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foreign.elements import Lamp, Relay, Starter
from foreign.record import Does
from foreign.running import Held, hold
from foreign.world import World

Light = Literal["bright", "dim", "dark", "none"]


@dataclass(frozen=True)
class Shown:
    """The machine at OFF, ON, START and let back to ON, in turn; `stopped` is OFF with a stop knob pulled."""

    off: Held
    on: Held
    start: Held
    back: Held
    stopped: Held


def show(world: World) -> Shown:
    """A machine taken through its key positions as it stands."""
    off = hold(world.at("off"))
    on = hold(world.at("on"), off.state)
    start = hold(world.at("start"), on.state)
    back = hold(world.at("on"), start.state)
    knob = {"stop_knob": "pulled"} if "stop_knob" in world.stands else {}
    return Shown(off, on, start, back, hold(world.at("off", **knob), off.state) if knob else off)


def light(held: Held, seen: str) -> Light:
    """How the lamps of a sort shine: by the brightest of them, `none` where there are none."""
    order: tuple[Light, ...] = ("none", "dark", "dim", "bright")
    best = 0
    for element in held.world.elements:
        if isinstance(element, Lamp) and element.seen == seen:
            share = abs(held.volts[element.a] - held.volts[element.b]) / element.volts if held.world.has(element) else 0
            best = max(best, 3 if share >= element.bright else 2 if share >= element.dim else 1)
    return order[best]


def speed(held: Held) -> float:
    """The share of its usual speed that the engine turns with."""
    slips = {each.id for each in held.world.elements if isinstance(each, Starter) and each.slips}
    return max((0.0 if name in slips else value for name, value in held.speed.items()), default=0.0)


def clicks(held: Held, sort: type[Relay | Starter]) -> bool:
    """Whether a relay that is heard, or a plunger, moved at this key position."""
    found = [each for each in held.world.elements if isinstance(each, sort) and not each.stuck]
    return any(held.clicks.get(each.id, 0) for each in found if not isinstance(each, Relay) or each.heard)


def does(shown: Shown) -> Does:
    """What an owner would say that the machine does."""
    start = shown.start
    if max(speed(shown.on), speed(shown.back), speed(shown.off)) > 0.03:
        return "turns_itself"
    if start.chatters:
        return "chatter"
    turning = speed(start)
    if turning >= start.world.machine.slow_below:
        return _runs(shown)
    if turning > 0.03:
        return "slow"
    if max(start.speed.values(), default=0.0) > 0.03:
        return "spins"
    return _stands(shown)


def _stands(shown: Shown) -> Does:
    """What it is called where nothing turns."""
    dash = light(shown.on, "dash")
    if dash == "dark":
        return "part_dead" if light(shown.on, "clock") in ("bright", "dim") else "dead"
    if dash == "dim":
        return "weak"
    if light(shown.start, "dash") == "dark":
        return "dies"
    if clicks(shown.start, Starter):
        return "clunk"
    return "click" if clicks(shown.start, Relay) else "silent"


def _runs(shown: Shown) -> Does:
    """What it is called where the engine turns as it should."""
    if not _fires(shown.start, "start"):
        return "cranks_no_run"
    if not _fires(shown.back, "on"):
        return "dies_at_release"
    asked = [runs for runs in shown.stopped.world.machine.runs if runs.at == "off"]
    return "will_not_stop" if asked and _fires(shown.stopped, "off") else "normal"


def _fires(held: Held, at: str) -> bool:
    """Whether the engine has what it needs at a key position."""
    needs = [runs for runs in held.world.machine.runs if runs.at == at]
    return all(runs.least <= held.volts[runs.plus] - held.volts[runs.minus] <= runs.most for runs in needs)
