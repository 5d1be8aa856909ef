"""What can be thought of a machine after some readings: the odds of every cause, and what each would have shown.

The causes are the single faults of the machine, and those with a victim they brought. What a meter would show under
each is solved for any two points and any settings, so that readings no check of the book makes count as well.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import exp, isinf

from coldiron.book.history import COMPLAINT
from coldiron.circuits.readings import reader
from coldiron.circuits.trial import Bench
from coldiron.drill.chains import victims_of
from coldiron.drill.step import Probe
from coldiron.judging.setup import Setup
from coldiron.record import dataclass, replace

LEAST = 1e-4
"""How likely any reading is at least beside the likeliest: meters slip, and machines have more than one fault."""

RULED_OUT = 0.02
"""A reading rules a cause out if the cause makes it so many times less likely than the cause that fits it best."""

METER = {"volts": 0.05, "ohms": 0.2, "amps": 1.0, "lamp": 0.06}
SPREAD = 0.03
"""How far a reading may lie from what was reckoned: an amount by quantity, and a share: common practice, no source."""

VICTIM = 0.25
"""The share of the odds of a cause that goes to it together with a victim, at most."""


@dataclass(frozen=True, slots=True)
class Causes:
    """The odds over causes, each a set of faults; they add up to 1. Immutable."""

    setup: Setup
    sets: tuple[frozenset[str], ...]
    odds: tuple[float, ...]

    def _brings(self, cause: str) -> frozenset[str]:
        return frozenset(victims_of(self.setup)[cause])

    def by_part(self) -> dict[str, float]:
        """The chance that each part is at fault, likeliest first."""
        found: dict[str, float] = {}
        faults = self.setup.machine.faults
        for causes, chance in zip(self.sets, self.odds, strict=True):
            for part in {faults[name].part for name in causes}:
                found[part] = found.get(part, 0.0) + chance
        return dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))

    def by_fault(self) -> dict[str, float]:
        """The chance of each fault, likeliest first."""
        found: dict[str, float] = {}
        for causes, chance in zip(self.sets, self.odds, strict=True):
            for name in causes:
                found[name] = found.get(name, 0.0) + chance
        return dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))

    def weighed(self, likelihoods: Sequence[float]) -> Causes:
        """The odds after something that is so likely under each cause."""
        top = max(likelihoods) or 1.0
        odds = [chance * max(one / top, LEAST) for chance, one in zip(self.odds, likelihoods, strict=True)]
        whole = sum(odds)
        return replace(self, odds=tuple(one / whole for one in odds))

    def without(self, mended: frozenset[str]) -> Causes:
        """The odds after a repair: what it mends is gone from every cause; one that is wholly mended cannot be.

        A victim fails again while its cause is there.
        """
        left: dict[frozenset[str], float] = {}
        for causes, chance in zip(self.sets, self.odds, strict=True):
            rest = causes - mended
            if rest and rest != causes and any(self._brings(cause) & causes & mended for cause in rest):
                rest = causes
            left[rest] = left.get(rest, 0.0) + chance
        gone = left.pop(frozenset(), 0.0)
        sets = tuple(left)
        whole = sum(left.values()) or 1.0
        found = replace(self, sets=sets, odds=tuple(chance / whole for chance in left.values()))
        return found if gone < 1 else self


@lru_cache(maxsize=32)
def first_thoughts(setup: Setup, told: str) -> Causes:
    """The odds before any reading: how often each fails, and how well it fits what the machine is said to do."""
    machine = setup.machine
    weights: dict[frozenset[str], float] = {}
    for name, odds in machine.odds.items():
        brought = victims_of(setup)[name]
        share = min(VICTIM, sum(brought.values()))
        weights[frozenset((name,))] = odds * (1 - share)
        for victim, chance in brought.items():
            pair = frozenset((name, victim))
            weights[pair] = weights.get(pair, 0.0) + odds * share * chance / sum(brought.values())
    sets = tuple(sorted(weights, key=lambda one: (len(one), sorted(one))))
    whole = sum(weights.values())
    place = setup.table.findings(COMPLAINT).index(told)
    causes = Causes(setup, sets, tuple(weights[one] / whole for one in sets))
    return causes.weighed([setup.table.chances(COMPLAINT, one)[place] for one in sets])


class Foreseen:
    """What steps would show under each cause, solved once and kept."""

    def __init__(self, setup: Setup) -> None:
        self._setup = setup
        self._bench = Bench(setup.machine)
        self._known: dict[tuple[object, ...], tuple[float, ...]] = {}

    def likelihoods(self, probe: Probe, shown: float | str, sets: Sequence[frozenset[str]]) -> list[float]:
        """How likely a reading, or what was seen by its finding, is under each of some causes."""
        if isinstance(shown, str):
            place = self._setup.table.findings(probe.check).index(shown)
            return [self._setup.table.chances(probe.check, one)[place] for one in sets]
        return [self._fits(probe, shown, one) for one in sets]

    def _fits(self, probe: Probe, shown: float, causes: frozenset[str]) -> float:
        values = self.values(probe, causes)
        return sum(near(probe.reads.quantity, value, shown) for value in values) / len(values)

    def values(self, probe: Probe, causes: frozenset[str]) -> tuple[float, ...]:
        """What a step reads under a cause: one value, or one for each size the fault may have."""
        key = probe.reads, tuple(sorted(probe.state.items())), causes
        if key not in self._known:
            read, state = reader(probe.reads, self._bench.layout), self._bench.layout.state(probe.state)
            trials = self._bench.trials(causes)
            self._known[key] = tuple(read(trial, trial.solution(state)) for trial in trials)
        return self._known[key]


def near(quantity: str, value: float, shown: float) -> float:
    """How near a reading is to what was reckoned, from 0 to 1."""
    if isinf(value) or isinf(shown):
        return float(value == shown)
    off = METER.get(quantity, 0.1) + SPREAD * max(abs(value), abs(shown))
    return exp(-(((value - shown) / off) ** 2) / 2)


@lru_cache(maxsize=8)
def foreseen_of(setup: Setup) -> Foreseen:
    """What is foreseen of a machine; made once for it."""
    return Foreseen(setup)


def ruled_out(likelihoods: Mapping[frozenset[str], float], faults: frozenset[str]) -> bool:
    """Whether a reading rules out all causes that hold one of some faults."""
    top = max(likelihoods.values(), default=0.0)
    mine = [one for causes, one in likelihoods.items() if causes & faults]
    return bool(mine) and max(mine) < RULED_OUT * top
