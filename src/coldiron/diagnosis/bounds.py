"""How well the readings of a job could at best be explained by sets of faults, worked out without solving them."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.diagnosis.cells import SOUND, log_of
from coldiron.diagnosis.columns import Column, Heard
from coldiron.diagnosis.descent import FaultSet
from coldiron.diagnosis.faults import Prior
from coldiron.model import COMPLAINT

LEAST = -30.0
"""A log-likelihood below this counts as this in the bound, which keeps it finite."""


class Bounds:
    """What each fault alone makes of each reading, as logs of chances against a sound machine.

    Attributes:
        gains: How much better each fault alone explains each reading; nothing where it does so worse, or is repaired.
        again: The same, were no fault ever repaired: a victim comes again while its cause is there.
        likeliest: What the likeliest single fault comes to, its prior included.
    """

    def __init__(self, prior: Prior, told: Sequence[Heard], repairs: Sequence[frozenset[str]]) -> None:
        self._prior = prior
        self._names = sorted(prior.odds)
        self._alone: list[FaultSet] = [(name,) for name in self._names]
        self.gains: dict[str, list[float]] = {name: [] for name in self._names}
        self.again: dict[str, list[float]] = {name: [] for name in self._names}
        self._losses: dict[str, list[float]] = {name: [] for name in self._names}
        self._first = [(column, _sound(column)) for column in told[0].columns]
        whole = dict.fromkeys(self._names, 0.0)
        gone: frozenset[str] = frozenset()
        for epoch, heard in enumerate(told):
            together = heard.likelihoods([SOUND, *self._alone])
            for name, alone in zip(self._names, self._alone, strict=True):
                whole[name] += 0.0 if name in gone else together[alone] - together[SOUND]
            for column in heard.columns:
                self._take(column, gone)
            if epoch < len(repairs):
                gone |= repairs[epoch]
        self.likeliest = max(whole[name] + log_of(prior.of((name,))) for name in self._names)

    def _take(self, column: Column, gone: frozenset[str]) -> None:
        sound, best = _sound(column), _best(column, self._alone)
        for name, score in zip(self._names, best, strict=True):
            self.again[name].append(max(0.0, score - sound))
            self._losses[name].append(min(0.0, score - sound))
            self.gains[name].append(0.0 if name in gone else self.again[name][-1])

    def stands(self, faults: FaultSet, gains: Sequence[float], least: float) -> bool:
        """Whether a set may come to at least so much, its prior included.

        First each reading is taken to be explained as well as `gains` says. Then, reading by reading of the first
        epoch, it is seen what the set itself shows, those first that speak most against a member, the complaint (for
        which most has to be solved) last, until it comes to less. A set of which a fault comes and goes may hide what
        it shows.
        """
        bound = log_of(self._prior.of(faults)) + sum(gains)
        if bound < least or not self._prior.fickle.isdisjoint(faults):
            return bound >= least
        against = map(min, *[self._losses[name] for name in faults])
        hopes = [loss - gain for loss, gain in zip(against, gains, strict=True)]
        first = sorted(range(len(self._first)), key=lambda n: (self._told(n), round(hopes[n], 9), n))
        for number in first:
            column, sound = self._first[number]
            bound += _best(column, [faults])[0] - sound - gains[number]
            if bound < least:
                return False
        return True

    def family_stands(self, faults: FaultSet, least: float) -> bool:
        """The same of a cause with its victims: a repaired victim may be back."""
        return self.stands(faults, list(map(max, *[self.again[name] for name in faults])), least)

    def _told(self, number: int) -> bool:
        return self._first[number][0].reading.check == COMPLAINT


def _sound(column: Column) -> float:
    return max(column.of([SOUND])[SOUND], LEAST)


def _best(column: Column, sets: Sequence[FaultSet]) -> list[float]:
    """Log-likelihood of each set at the level of severity that fits best."""
    logs, levels = column.of(sets), column.levels(sets)
    return [max(logs[faults], *levels.get(faults, ()), LEAST) for faults in sets]
