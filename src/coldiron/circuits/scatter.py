"""Machines off the drawing board: parts a little off their usual figures, faults of one certain size.

No two sound machines read alike. How far a figure may lie off its usual one is common practice, no source: a tenth of
a volt or so for a charged battery, 5 in 100 for windings, joints and lengths of wire, less for what sets the speed.
"""

from __future__ import annotations

import random
from collections.abc import Mapping

from coldiron.book.acts import ACTS
from coldiron.book.faults import Fault, of_size
from coldiron.book.machines import Part
from coldiron.circuits.machine import Machine
from coldiron.circuits.stamps import size
from coldiron.record import replace

FARTHEST = 2.0
"""No figure lies further off than so many of its usual deviations: what does is not sound."""

DEVIATION: Mapping[str, float] = {"volts": 0.002, "area": 0.0, "amps": 0.0, "crank_volts": 0.01}
"""Usual deviation of a value, as a share of it. The area of a wire and the rating of a fuse are what they are."""

OTHER_DEVIATION = 0.025
"""The same of every other value: ohms, lengths, amps that an engine asks for, volts that move a relay."""


def scattered(machine: Machine, chance: random.Random, share: float = 1.0) -> Machine:
    """The machine with every value of every part off its usual figure by chance, and nothing else changed.

    Args:
        machine: the machine as the book has it.
        chance: where the deviations come from; parts are gone through in the order of the machine.
        share: how much of the usual deviation: 0 for none.
    """
    parts = {id_: _off(machine, part, chance, share) for id_, part in machine.parts.items()}
    return replace(machine, parts=parts)


def sized(machine: Machine, quantiles: Mapping[str, float]) -> Machine:
    """The machine on which some faults have one size each: the one at this quantile of their range, from 0 to 1.

    Raises:
        KeyError: a fault the machine cannot have.
    """
    fixed = {id_: _fixed(machine.faults[id_], quantile) for id_, quantile in quantiles.items()}
    return replace(machine, faults={**machine.faults, **fixed})


def deviate(chance: random.Random) -> float:
    """A normal deviation, none beyond `FARTHEST`."""
    while abs(drawn := chance.gauss(0.0, 1.0)) > FARTHEST:
        pass
    return drawn


def _off(machine: Machine, part: Part, chance: random.Random, share: float) -> Part:
    act = ACTS[machine.kind(part.id).acts]
    values = machine.values(part.id)
    for name in (*act.values, *act.optional):
        if name in values:
            values[name] *= 1 + share * DEVIATION.get(name, OTHER_DEVIATION) * deviate(chance)
    return replace(part, values=values)


def _fixed(fault: Fault, quantile: float) -> Fault:
    effects = tuple([of_size(effect, size(effect, quantile)) for effect in fault.what.effects])
    return replace(fault, what=replace(fault.what, effects=effects))
