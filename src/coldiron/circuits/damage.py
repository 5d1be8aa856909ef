"""A set of faults at one level of severity, as changes to the network of a machine."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.faults import Effect, Leaks
from coldiron.circuits.layout import Layout
from coldiron.circuits.stamps import Stamp, levelled, size, stamp
from coldiron.record import dataclass

QUANTILES = (1 / 6, 1 / 2, 5 / 6)
"""Where the range of a fault's size is sampled: the middle of each third, with equal weight."""

LEVELS = len(QUANTILES)
PLAIN_LEVEL = 1
"""How many sizes are sampled, and which of them stands for a fault that has no range: the middle."""

_TURNED = ((0, 1, 2), (1, 2, 0), (0, 2, 1))
"""Which third the first, second, third ... fault with a range has at each level.

Going through the thirds in step would pretend that a bad joint comes with a bad cable; all combinations would cost 9 or
27 solutions. Turned so, every fault still has each of its sizes once. Batteries with the same fault do go in step: one
current runs both down.
"""

Sized = tuple[tuple[str, int], ...]
"""Faults, sorted, each with the third of its range it has (0, 1 or 2; always 1 for a fault without a range)."""


@dataclass(frozen=True, slots=True)
class Damage:
    """What sized faults change: `stamps` are the parts in their bad condition; `leaks` are (path, siemens)."""

    stamps: tuple[tuple[str, Stamp], ...] = ()
    leaks: tuple[tuple[int, float], ...] = ()


def sizes(layout: Layout, faults: Iterable[str]) -> tuple[Sized, ...]:
    """A set of faults at each level of severity: three levels if any of them has a range, else one."""
    ranged = {id_: levelled(layout.machine.faults[id_].what.effects) for id_ in sorted(faults)}
    levels = range(LEVELS) if any(ranged.values()) else (PLAIN_LEVEL,)
    turns: dict[str, int] = {}
    for id_, has_range in ranged.items():
        if has_range:
            turns.setdefault(_in_step(layout, id_), len(turns))
    found = []
    for level in levels:
        sized = []
        for id_, has_range in ranged.items():
            turn = turns[_in_step(layout, id_)] if has_range else 0
            sized.append((id_, _TURNED[turn % len(_TURNED)][level] if has_range else PLAIN_LEVEL))
        found.append(tuple(sized))
    return tuple(found)


def _in_step(layout: Layout, id_: str) -> str:
    """What faults are named by that grow worse together; each by itself but those of batteries."""
    fault = layout.machine.faults[id_]
    return fault.what.id if layout.machine.kind(fault.part).acts == "battery" else id_


def damage(layout: Layout, sized: Sized) -> Damage:
    """What sized faults do to the network; faults of one part are put together."""
    machine = layout.machine
    effects: dict[str, list[tuple[Effect, float]]] = {}
    leaks: list[tuple[int, float]] = []
    for id_, third in sized:
        fault = machine.faults[id_]
        for index, effect in enumerate(fault.what.effects):
            amount = size(effect, QUANTILES[third])
            if not isinstance(effect, Leaks):
                effects.setdefault(fault.part, []).append((effect, amount))
            elif (id_, index) in layout.leak:
                leaks.append((layout.leak[id_, index], 1 / amount))
    stamps = tuple(
        (part, stamp(machine.kind(part).acts, machine.values(part), found)) for part, found in effects.items()
    )
    return Damage(stamps, tuple(leaks))
