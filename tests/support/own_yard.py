"""One real machine: parts a little off their usual figures, faults of one certain size, a meter and eyes that err.

How far a figure lies off its usual one is common practice, no source: a volt of a battery by 2 in 1,000, the speed of a
starter by 1 in 100, ohms, lengths and what moves a relay by 2.5 in 100, none by more than twice that. Everything left
to chance hangs on the seed and on what is asked, so that a check made twice between two repairs reads the same.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import floor, inf, isinf, log10

from coldiron.book.checks import Check
from coldiron.book.faults import Effect, Fault, Locks, Opens, SetsValue, Slips, StaysClosed
from support.own_machine import OwnMachine
from support.own_meter import OwnMeter

OFF = {"volts": 0.002, "area": 0.0, "amps": 0.0, "crank_volts": 0.01}
OFF_ELSE = 0.025
FARTHEST = 2.0
LEADS = 0.5
"""Ohms of a pair of leads that were not touched together first: common practice, no source."""


def drawn(chance: random.Random) -> float:
    """A normal deviation within the farthest."""
    while abs(off := chance.gauss(0.0, 1.0)) > FARTHEST:
        pass
    return off


@dataclass(frozen=True, eq=False)
class RealMachine(OwnMachine):
    """One circuit as it stands in one yard; `seed` tells it from another."""

    seed: int = 0
    _values: dict[str, dict[str, float]] = field(default_factory=dict)

    def chance(self, *about: object) -> random.Random:
        """What chance has in store for one thing."""
        return random.Random(f"{self.seed} {self.circuit} {about}")  # noqa: S311 - no secret

    def values(self, part: str) -> dict[str, float]:
        """Its values, each a little off."""
        if part not in self._values:
            usual = super().values(part)
            off = {name: OFF.get(name, OFF_ELSE) * drawn(self.chance(part, name)) for name in usual}
            self._values[part] = {name: value * (1 + off[name]) for name, value in usual.items()}
        return dict(self._values[part])

    @cached_property
    def faults(self) -> dict[str, Fault]:
        """What can be wrong with it, each of one size."""
        return {name: self._sized(fault) for name, fault in self.possible().items()}

    def _sized(self, fault: Fault) -> Fault:
        along = self.chance("size", fault.id).random()
        effects = tuple(_at(effect, along) for effect in fault.what.effects)
        return replace(fault, what=replace(fault.what, effects=effects))


def _at(effect: Effect, along: float) -> Effect:
    """An effect of the size so far along its range: even in the value where one is set, else in its logarithm."""
    if isinstance(effect, Opens | StaysClosed | Locks | Slips):
        return effect
    mild, severe = effect.mild, effect.severe
    even = isinstance(effect, SetsValue) or mild <= 0
    size = mild + (severe - mild) * along if even else mild * (severe / mild) ** along
    return replace(effect, mild=size, severe=size)


@dataclass
class Reader:
    """A hand at a meter beside such a machine.

    Args:
        machine: the machine.
        slips: the share of readings that are wrong.
    """

    machine: RealMachine
    slips: float = 0.0
    epoch: int = 0
    meter: OwnMeter = field(init=False)

    def __post_init__(self) -> None:
        self.meter = OwnMeter(self.machine)

    def number(self, check: Check, faults: frozenset[str], again: int) -> float:
        """What a meter shows, or a lamp, ear or hand gets, as `OwnMeter` has it."""
        chance = self.machine.chance("reading", check.id, self.epoch, again)
        right = self.meter.value(check.reads, check.state, faults)
        value = self._slip(check, right, faults, chance) if chance.random() < self.slips else right
        if isinf(value) or check.step <= 0:
            return value
        digit = 10.0 ** floor(log10(check.step))
        return round((value + check.step * drawn(chance)) / digit) * digit

    def _slip(self, check: Check, right: float, faults: frozenset[str], chance: random.Random) -> float:
        """A wrong reading of a sort that happens: probes changed over, nothing touched, another range, key left off."""
        if check.reads.quantity == "ohms":
            return chance.choice((inf, right + LEADS, right / 1000))
        at_rest = self.meter.value(check.reads, {}, faults)
        if check.reads.quantity in ("volts", "amps"):
            return chance.choice((-right, 0.0, right / 1000, at_rest))
        return chance.choice((0.0, right / 2, at_rest))

    def sign(self, check: Check, faults: frozenset[str], again: int) -> str:
        """What eyes see: the worst of the signs that the faults give, each by its chance."""
        order = [finding.id for finding in check.findings if finding.id != check.good] + [check.good]
        seen = min([check.good, *(self._shown(check, fault) for fault in sorted(faults))], key=order.index)
        chance = self.machine.chance("reading", check.id, self.epoch, again)
        others = [name for name in order if name != seen]
        return chance.choice(others) if others and chance.random() < self.slips else seen

    def _shown(self, check: Check, fault: str) -> str:
        """The sign of one fault on this machine since the latest repair."""
        left = self.machine.chance("sign", check.id, fault, self.epoch).random()
        for line in self.machine.lines(check, fault):
            left -= line.chance
            if left < 0:
                return line.finding
        return check.good
