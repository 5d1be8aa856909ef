"""What an owner has tried before he called, and what each trial did: worked out on his machine, not made up."""

from __future__ import annotations

import random
from collections.abc import Iterator

from foreign.measuring import Bench, Setup
from foreign.people.gear import gear
from foreign.record import Fault, Machine
from foreign.world import World, broken

JUMPED, BRIDGED, CHARGED = 0.35, 0.15, 0.2
"""Shares of owners who jumped it, bridged the starter, put a charger on: from the trade by estimate."""


def trials(machine: Machine, sound: World, faults: list[tuple[Fault, float]], chance: random.Random) -> Iterator[str]:
    """Words of the story for what was tried."""
    bench = Bench(broken(sound, faults))
    if chance.random() < JUMPED:
        turns = bench.turns(Setup("start", gear=gear(machine, "booster")))
        yield "jump_helped" if turns == "normal" else "jump_did_not_help"
    if chance.random() < BRIDGED:
        turns = bench.turns(Setup("off", gear=gear(machine, "remote_button")))
        yield "bridged_cranks" if turns == "normal" else "bridged_still"
    if chance.random() < CHARGED and any("charge" in fault.mends for fault, _ in faults):
        yield "charger_took_hours"
