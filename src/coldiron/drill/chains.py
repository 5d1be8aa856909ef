"""Which faults one may bring on a machine, by the chains of the book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldiron.book.faults import FaultRef
from coldiron.circuits.machine import Machine


def victims_of(machine: Machine, cause: str) -> Iterator[tuple[str, float]]:
    """The faults that one may bring on this machine, each with its chance."""
    for chain in machine.book.chains.values():
        if cause in _meant(machine, chain.cause):
            for victim in chain.victims:
                yield from ((one, victim.chance) for one in _meant(machine, victim.faults) if one != cause)


def _meant(machine: Machine, ref: FaultRef) -> Iterable[str]:
    return [name for name, one in machine.faults.items() if ref.matches(one.part, one.kind, one.what.id)]
