"""Events that hurt several wires at one place at once: the faults with them, and what a look at the place shows.

An event is a cause whose victims are faults of the wires there. It does nothing to the circuit itself, so a set with it
reads like the same set without; only the odds, and eyes at the place, tell them apart. None is judged before something
speaks for it, so a job without one pays nothing for them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coldiron.circuits.machine import Machine
from coldiron.inference.descent import Link
from coldiron.inference.faults import FaultModel
from coldiron.record import replace

ELSEWHERE = 0.3
"""Chance that a wire which was hurt by itself was hurt at this place of its way: one in about three. An estimate, no
source."""


def with_events(model: FaultModel, machine: Machine, awake: frozenset[str]) -> FaultModel:
    """The faults of a machine and some of the events that may have hurt several of them."""
    events = {name: machine.events[name] for name in sorted(awake)}
    links = [Link(name, hurt, chance) for name, one in events.items() for hurt, chance in one.hurts.items()]
    return replace(
        model,
        odds={**model.odds, **{name: one.odds for name, one in events.items()}},
        parts={**model.parts, **{name: one.fault.part for name, one in events.items()}},
        links=(*model.links, *links),
        repair_minutes={**model.repair_minutes, **{name: one.fault.what.minutes for name, one in events.items()}},
        repairs={**model.repairs, **{name: frozenset(machine.mended_with(name)) for name in events}},
        events=frozenset(events),
    )


def seen_at_places(machine: Machine) -> Iterator[tuple[str, str, Mapping[str, float]]]:
    """The look at each route, a fault, and what it shows there: an event itself, and a wire that was hurt alone."""
    for name, one in machine.events.items():
        for line in one.fault.what.shows:
            yield line.check, name, {line.finding: line.chance}
    for route, look in machine.looks.items():
        here = [one for one in machine.events.values() if one.fault.part == route]
        for hurt in sorted({name for one in here for name in one.hurts}):
            whole = sum([one.hurts.get(hurt, 0.0) for one in here])
            shares = {one.fault.what.id: one.hurts.get(hurt, 0.0) / whole for one in here}
            seen = {one.fault.what.id: one.fault.what.shows[0].chance for one in here}
            yield look, hurt, {name: ELSEWHERE * share * seen[name] for name, share in shares.items() if share}
