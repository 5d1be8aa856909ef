"""A machine as it stands in a yard: its elements with what is wrong with them, its settings, its air and oil."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from foreign.elements import Any_, Battery, Load
from foreign.record import Fault, Machine, Size

OPEN = 1e9
"""Milliohms of what is cut: a megohm of dirt."""


@dataclass(frozen=True)
class World:
    """Elements, settings, air and oil in degrees C; `machine` is what it was before it failed."""

    machine: Machine
    elements: tuple[Any_, ...]
    stands: Mapping[str, str] = field(default_factory=dict)
    key: str = "off"
    air_c: float = 20.0
    oil_c: float = 20.0
    cut: frozenset[str] = frozenset()
    running: bool = False

    def at(self, key: str, **stands: str) -> World:
        """The same with the key and some settings otherwise."""
        return replace(self, key=key, stands={**self.stands, **stands})

    def with_also(self, *elements: Any_) -> World:
        """The same with something fitted for a test."""
        return replace(self, elements=(*self.elements, *elements))

    def has(self, element: Any_) -> bool:
        """Whether an element is a path as things stand."""
        if element.id in self.cut or (element.keys and self.key not in element.keys):
            return False
        pairs = (each.partition("=") for each in element.only)
        return all(self.stands.get(name, value) == value for name, _, value in pairs)


def sized(size: Size, severity: float) -> float:
    """A figure between mild and severe: by ratio where both are above nothing."""
    if not isinstance(size, tuple):
        return size
    mild, severe = size
    if mild > 0 and severe > 0:
        return math.exp(math.log(mild) + (math.log(severe) - math.log(mild)) * severity)
    return mild + (severe - mild) * severity


def healthy(machine: Machine, air_c: float = 20.0, charge: float | None = None) -> World:
    """A machine with nothing wrong; `charge` is that of all its batteries, as in its file if left out."""
    elements = tuple(
        each.model_copy(update={"charge": charge}) if charge is not None and isinstance(each, Battery) else each
        for each in machine.elements
    )
    return World(machine, elements, dict(machine.stands), air_c=air_c, oil_c=air_c)


def broken(world: World, faults: Iterable[tuple[Fault, float]]) -> World:
    """A machine with faults, each so severe (0 to 1)."""
    for fault, severity in faults:
        world = _hurt(world, fault, severity)
    return world


def _hurt(world: World, fault: Fault, severity: float) -> World:
    elements = {each.id: each for each in world.elements}
    cut = set(world.cut)
    for change in fault.change:
        if change.open:
            cut.add(change.of)
            continue
        old = elements[change.of]
        to = change.to if isinstance(change.to, str) or change.to is None else sized(change.to, severity)
        whole = type(old).model_fields[change.what].annotation is int or change.what in ("turned", "slips")
        elements[change.of] = type(old).model_validate(
            {**old.model_dump(), change.what: int(to) if whole and isinstance(to, float) else to}
        )
    for number, added in enumerate(fault.add):
        name = f"{fault.name}_{number}"
        elements[name] = Load(kind="load", id=name, a=added.a, b=added.b, ohm=sized(added.ohm, severity))
    stands = {**world.stands, **fault.stands}
    return replace(world, elements=tuple(elements.values()), cut=frozenset(cut), stands=stands)
