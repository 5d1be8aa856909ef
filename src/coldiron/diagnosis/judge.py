"""Odds over sets of faults, from all the evidence of a job at once.

The odds are always worked out from the whole evidence, in a fixed order, so the order of answering cannot matter and a
changed answer leaves no trace. Each reading is a column of log-likelihoods over sets. Within an epoch columns add up;
a fault that comes and goes either shows through all of an epoch or not at all; a repair moves sets to what is left.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from coldiron.diagnosis.belief import DIGITS, Belief, Hypothesis
from coldiron.diagnosis.cells import SOUND, Cells
from coldiron.diagnosis.columns import columns
from coldiron.diagnosis.evidence import Evidence, Table
from coldiron.diagnosis.faults import FaultModel, FaultSet, Prior
from coldiron.diagnosis.focus import Limits, start_sets
from coldiron.diagnosis.pool import Pool
from coldiron.diagnosis.rough import Rough
from coldiron.diagnosis.timeline import Timeline, Told, Weighed


@dataclass(frozen=True, slots=True)
class Hearing:
    """The evidence made ready: the columns of its readings, by epoch, and the timeline they are weighed along."""

    told: Told
    timeline: Timeline


class Judge:
    """Judges evidence about one machine. Keeps the cells it has asked the table for, and nothing else."""

    def __init__(self, model: FaultModel, table: Table, limits: Limits | None = None) -> None:
        self.model = model
        self.limits = limits or Limits()
        self.cells = Cells(model, table)
        self._rough = Rough(self.cells)

    def belief(self, evidence: Evidence) -> Belief:
        """The odds after this evidence. The same evidence gives the same belief to the last bit, in whatever order.

        Raises:
            ValueError: if a reading has a finding that its check has not, or all that is possible is ruled out.
        """
        heard = self.hear(evidence)
        return self.report(heard.timeline.weigh(heard.told))

    def hear(self, evidence: Evidence) -> Hearing:
        """Make the evidence ready to be weighed, as a whole or with a reading left out."""
        prior = Prior(self.model, evidence.shifts, evidence.sizes)
        told = self.told(evidence, prior)
        starts = start_sets(prior, told, evidence.repairs, self.limits)
        return Hearing(told, Timeline(self.model, prior, starts, evidence.repairs, self.limits.largest))

    def told(self, evidence: Evidence, prior: Prior | None = None) -> Told:
        """A column for every reading, by epoch, each epoch in order of the checks' ids."""
        odds = (prior or Prior(self.model, evidence.shifts, evidence.sizes)).odds
        return tuple(columns(epoch, self.cells, odds) for epoch in evidence.epochs())

    def pool(self, belief: Belief) -> Pool:
        """The leading hypotheses of a belief, as the choice of the next check weighs them."""
        return Pool(belief, self.model, self._rough, self.limits.pool)

    def report(self, weighed: Weighed) -> Belief:
        """Weights as a belief."""
        now = weighed.epochs[-1]
        sets: dict[FaultSet, float] = {}
        for (faults, _), weight in now.items():
            sets[faults] = sets.get(faults, 0.0) + weight
        suspects = dict.fromkeys(sorted(self.model.odds), 0.0)
        parts = dict.fromkeys(sorted({self.model.part(name) for name in self.model.odds}), 0.0)
        for members, weight in sets.items():
            for name in members:
                suspects[name] += weight
            for part in {self.model.part(name) for name in members}:
                parts[part] += weight
        split = [Hypothesis(faults, shown, weight) for (faults, shown), weight in now.items()]
        return Belief(
            suspects=_ranked(suspects),
            parts=_ranked(parts),
            sets=_ranked(sets),
            unknown=weighed.unknown,
            sound=sets.get(SOUND, 0.0),
            hypotheses=tuple(sorted(split, key=lambda h: (-round(h.chance, DIGITS), h.faults, h.shown))),
            evidence=weighed.evidence,
        )


Key = TypeVar("Key", str, FaultSet)


def _ranked(chances: Mapping[Key, float]) -> tuple[tuple[Key, float], ...]:
    """Likeliest first, equal chances by id."""
    return tuple(sorted(chances.items(), key=lambda item: (-round(item[1], DIGITS), item[0])))
