"""The fault model of a machine: its faults, odds, causes and victims, as the book has them."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.faults import FaultRef
from coldiron.circuits.machine import Machine
from coldiron.inference.descent import Link
from coldiron.inference.faults import FaultModel

ALIKE = 0.5
"""Half of what the book does not know reads like something it knows, at the same place: an estimate, no source."""

CROWD = 4
"""At a point where more parts than this meet, a repair of one is not taken to disturb the others."""


def model_of(machine: Machine) -> FaultModel:
    """The faults of a machine with their odds, links, repair minutes, coming and going, and neighbours."""
    faults = machine.faults
    return FaultModel(
        odds=dict(machine.odds),
        parts={name: fault.part for name, fault in faults.items()},
        links=tuple(dict.fromkeys(_links(machine))),
        shows_now={name: fault.what.shows_now for name, fault in faults.items() if fault.what.shows_now < 1},
        repair_minutes={name: fault.what.minutes for name, fault in faults.items()},
        neighbours=_neighbours(machine),
        unknown_alike=ALIKE,
        repairs={name: frozenset(machine.mended_with(name)) for name in faults},
    )


def named(machine: Machine, ref: FaultRef) -> list[str]:
    """The faults of a machine that a reference names, sorted."""
    return [
        name
        for name, fault in machine.faults.items()
        if (fault.kind == ref.kind if ref.kind else fault.part == ref.part) and ref.fault in {"", fault.what.id}
    ]


def _links(machine: Machine) -> Iterator[Link]:
    for chain in machine.book.chains.values():
        for cause in named(machine, chain.cause):
            for one in chain.victims:
                yield from (Link(cause, name, one.chance) for name in named(machine, one.faults) if name != cause)


def _neighbours(machine: Machine) -> dict[str, tuple[str, ...]]:
    """Joints that lie at the very point where a part is worked on: pulling at it may loosen them."""
    at: dict[str, list[str]] = {}
    for part in machine.parts.values():
        for point in set(part.joins.values()):
            at.setdefault(point, []).append(part.id)
    found = {}
    for name, fault in machine.faults.items():
        points = set(machine.parts[fault.part].joins.values())
        near = {part for point in points if len(at[point]) <= CROWD for part in at[point]} - {fault.part}
        joints = {part for part in near if machine.kind(part).acts == "joint"}
        loose = tuple(sorted(other for other, f in machine.faults.items() if f.part in joints))
        if loose:
            found[name] = loose
    return found
