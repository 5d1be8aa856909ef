"""Which faults one may bring on a machine, by the chains of the book."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from coldiron.book.faults import FaultRef
from coldiron.circuits.machine import Machine
from coldiron.judging.setup import Setup


@lru_cache(maxsize=8)
def victims_of(setup: Setup) -> Mapping[str, Mapping[str, float]]:
    """The faults that each fault may bring on this machine, with their chances; worked out once for it."""
    machine = setup.machine
    found: dict[str, dict[str, float]] = {name: {} for name in machine.faults}
    for chain in machine.book.chains.values():
        causes = _meant(machine, chain.cause)
        if not causes:
            continue
        victims = {one: victim.chance for victim in chain.victims for one in _meant(machine, victim.faults)}
        for cause in causes:
            found[cause].update((one, chance) for one, chance in victims.items() if one != cause)
    return found


def _meant(machine: Machine, refs: FaultRef) -> list[str]:
    return [name for name, one in machine.faults.items() if refs.matches(one.part, one.kind, one.what.id)]
