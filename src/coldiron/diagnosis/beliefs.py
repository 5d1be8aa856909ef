"""Odds over sets of faults, from all the evidence of a job at once.

The state is always computed from the whole evidence, in a fixed order, so the order of answering cannot matter and a
changed answer leaves no trace. Each reading is a column of log-likelihoods over sets. Within an epoch columns add up;
a fault that comes and goes either shows through all of an epoch or not at all; a repair moves sets to what is left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import exp, fsum, log
from typing import TypeVar

from coldiron.diagnosis.cells import SOUND, Cells
from coldiron.diagnosis.columns import Column, columns, likelihoods
from coldiron.diagnosis.evidence import Evidence, Table
from coldiron.diagnosis.faults import FaultModel, FaultSet, Prior
from coldiron.diagnosis.focus import Limits, start_sets
from coldiron.diagnosis.repair import after_repair

DIGITS = 9
"""Chances are compared after rounding to this many digits, so that the last bits of a sum decide nothing."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One possible truth now: the faults present, those of them that show in this epoch, and its chance."""

    faults: FaultSet
    shown: FaultSet
    chance: float


@dataclass(frozen=True, slots=True)
class Belief:
    """What the evidence supports now, after the repairs so far.

    Attributes:
        suspects: Every fault with the chance that it is present now, likeliest first, ties by id.
        parts: Every part with the chance that it has any fault now, likewise.
        sets: Every set judged, with its chance, likeliest first; the empty set is a sound machine.
        unknown: Chance that the fault is not in the book.
        sound: Chance that nothing is wrong any more.
        hypotheses: The sets again, each split by which of its faults show; for the choice of the next check.
        evidence: Log of the probability of all readings; only differences mean anything.
    """

    suspects: tuple[tuple[str, float], ...]
    parts: tuple[tuple[str, float], ...]
    sets: tuple[tuple[FaultSet, float], ...]
    unknown: float
    sound: float
    hypotheses: tuple[Hypothesis, ...]
    evidence: float

    def chance(self, fault: str) -> float:
        """Chance that this fault is present now; 0 for a fault the machine does not have."""
        return next((chance for name, chance in self.suspects if name == fault), 0.0)


@dataclass(frozen=True, slots=True)
class Filtered:
    """Weights of what is present now, from the sets of faults the job may have begun with."""

    weights: Mapping[tuple[FaultSet, FaultSet], float]
    unknown: float
    evidence: float


class Judge:
    """Judges evidence about one machine. Keeps the cells it has asked the table for, and nothing else."""

    def __init__(self, model: FaultModel, table: Table, limits: Limits | None = None) -> None:
        self.model = model
        self.limits = limits or Limits()
        self.cells = Cells(model, table)

    def belief(self, evidence: Evidence) -> Belief:
        """The odds after this evidence. The same evidence gives the same belief to the last bit, in whatever order."""
        prior = self.prior(evidence)
        told = self.columns(evidence, prior)
        return self._report(self.filter(prior, self.starts(evidence, prior, told), told, evidence.repairs))

    def prior(self, evidence: Evidence) -> Prior:
        """The prior as history has shifted it."""
        return Prior(self.model, evidence.shifts, evidence.sizes)

    def columns(self, evidence: Evidence, prior: Prior) -> tuple[tuple[Column, ...], ...]:
        """A column of log-likelihoods for every reading, by epoch, each epoch in order of the checks' ids."""
        return tuple(columns(epoch, self.cells, prior.odds) for epoch in evidence.epochs())

    def starts(
        self, evidence: Evidence, prior: Prior, told: Sequence[Sequence[Column]]
    ) -> tuple[tuple[FaultSet, float], ...]:
        """The sets the job may have begun with, sorted, each with its prior."""
        sets = start_sets(prior, told, evidence.repairs, self.limits)
        return tuple((faults, prior.of(faults)) for faults in sets)

    def filter(
        self,
        prior: Prior,
        starts: Sequence[tuple[FaultSet, float]],
        told: Sequence[Sequence[Column]],
        repairs: Sequence[frozenset[str]],
    ) -> Filtered:
        """Go through the epochs: readings weigh what is present, repairs change it."""
        weights = {faults: chance * (1 - self.model.unknown) for faults, chance in starts if chance > 0}
        unknown = self.model.unknown
        scale = 0.0
        shown: dict[tuple[FaultSet, FaultSet], float] = {}
        for epoch, heard in enumerate(told):
            shown, unknown, top = self._weigh(weights, unknown, heard)
            scale += top
            if epoch < len(repairs):
                weights = self._repaired(prior, shown, repairs[epoch])
        total = fsum([*shown.values(), unknown])
        return Filtered({key: w / total for key, w in shown.items()}, unknown / total, scale + log(total))

    def _weigh(
        self, weights: Mapping[FaultSet, float], unknown: float, heard: Sequence[Column]
    ) -> tuple[dict[tuple[FaultSet, FaultSet], float], float, float]:
        """Weights of (present, showing) after an epoch's readings, and of the unknown fault; and the log taken out."""
        keys = [(faults, shown, log(w * q)) for faults, w in weights.items() for shown, q in self.showing(faults)]
        sums = likelihoods(heard, {shown for _, shown, _ in keys})
        scores = [(faults, shown, w + sums[shown]) for faults, shown, w in keys]
        other = sum([column.unknown for column in heard])
        other = log(unknown) + other if unknown > 0 else float("-inf")
        top = max([other, *(score for _, _, score in scores)])
        if top == float("-inf"):
            raise ImpossibleEvidenceError
        found = {(faults, shown): exp(score - top) for faults, shown, score in scores}
        return {key: weight for key, weight in found.items() if weight > 0}, exp(other - top), top

    def showing(self, faults: FaultSet) -> list[tuple[FaultSet, float]]:
        """Which of these faults may show in one epoch, with chances: those that come and go may hide."""
        chances = [self.model.shows_now.get(name, 1.0) for name in faults]
        if all(chance == 1 for chance in chances):
            return [(faults, 1.0)]
        choices = [((True, q), (False, 1 - q)) if q < 1 else ((True, 1.0),) for q in chances]
        found = []
        for choice in product(*choices):
            weight = 1.0
            for _, chance in choice:
                weight *= chance
            if weight > 0:
                found.append((tuple(name for name, (shows, _) in zip(faults, choice, strict=True) if shows), weight))
        return found

    def _repaired(
        self, prior: Prior, shown: Mapping[tuple[FaultSet, FaultSet], float], repair: frozenset[str]
    ) -> dict[FaultSet, float]:
        before: dict[FaultSet, float] = {}
        for (faults, _), weight in shown.items():
            before[faults] = before.get(faults, 0.0) + weight
        after: dict[FaultSet, float] = {}
        for faults, weight in sorted(before.items()):
            for left, chance in after_repair(faults, repair, self.model, prior, self.limits.largest):
                after[left] = after.get(left, 0.0) + weight * chance
        return {faults: weight for faults, weight in sorted(after.items()) if weight > 0}

    def _report(self, found: Filtered) -> Belief:
        sets: dict[FaultSet, float] = {}
        for (faults, _), weight in found.weights.items():
            sets[faults] = sets.get(faults, 0.0) + weight
        chances = dict.fromkeys(sorted(self.model.odds), 0.0)
        parts = dict.fromkeys(sorted({self.model.part(name) for name in self.model.odds}), 0.0)
        for members, weight in sets.items():
            for name in members:
                chances[name] += weight
            for part in {self.model.part(name) for name in members}:
                parts[part] += weight
        split = [Hypothesis(present, shown, weight) for (present, shown), weight in found.weights.items()]
        return Belief(
            suspects=_ranked(chances),
            parts=_ranked(parts),
            sets=_ranked(sets),
            unknown=found.unknown,
            sound=sets.get(SOUND, 0.0),
            hypotheses=tuple(sorted(split, key=lambda h: (-round(h.chance, DIGITS), h.faults, h.shown))),
            evidence=found.evidence,
        )


class ImpossibleEvidenceError(ValueError):
    """No set of faults allows these readings: the model leaves no room for wrong ones (`floor` and `unknown` are 0)."""


Key = TypeVar("Key", str, FaultSet)


def _ranked(chances: Mapping[Key, float]) -> tuple[tuple[Key, float], ...]:
    """Likeliest first, equal chances by id."""
    return tuple(sorted(chances.items(), key=lambda item: (-round(item[1], DIGITS), item[0])))
