"""Odds over sets of faults, from all the evidence of a job at once.

The odds are always worked out from the whole evidence, in a fixed order, so the order of answering cannot matter and a
changed answer leaves no trace. Each reading is a column of log-likelihoods over sets. Within an epoch columns add up;
a fault that comes and goes either shows through all of an epoch or not at all; a repair moves sets to what is left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

from coldiron.choice.offers import Offer, Ways
from coldiron.choice.pool import Pool
from coldiron.choice.ranking import Ranked, rank
from coldiron.choice.rough import Rough
from coldiron.inference.belief import DIGITS, Belief, Hypothesis
from coldiron.inference.beside import Beside, bases
from coldiron.inference.cells import SOUND, Cells
from coldiron.inference.columns import Heard
from coldiron.inference.descent import FaultSet
from coldiron.inference.evidence import Evidence, Reading, Table
from coldiron.inference.faults import FaultModel, Prior
from coldiron.inference.focus import start_sets
from coldiron.inference.limits import Limits
from coldiron.inference.timeline import Timeline, Told, Weighed


class Hearing:
    """The evidence made ready: its readings by epoch, and the timeline they are weighed along.

    What the hearing before this one made of an epoch is taken over as far as it is the same.
    """

    def __init__(
        self, evidence: Evidence, model: FaultModel, cells: Cells, limits: Limits, before: Hearing | None
    ) -> None:
        self.evidence = evidence
        self._model, self._limits = model, limits
        self._cells = cells
        self._kept: dict[tuple[Reading, ...], Heard] = {}
        if before is None or before.evidence.shifts != evidence.shifts or before.evidence.sizes != evidence.sizes:
            self._prior = Prior(model, evidence.shifts, evidence.sizes)
        else:
            self._prior, self._kept = before._prior, before._kept  # noqa: SLF001 - one of its own kind
        self.told = self._heard(evidence)
        self._kept = dict(zip(evidence.epochs(), self.told, strict=True))
        self._before: Hearing | None = None  # until it is made, which looks at this one
        self._before = self._before_repair(before) if evidence.repairs else None
        starts = start_sets(self._prior, self.told, evidence.repairs, limits)
        beside = Beside(self._prior, self.told, evidence.repairs, limits).sets(self._grounds())
        judged = sorted({*starts, *beside})
        beside.update([(faults, faults) for faults in starts if faults in beside])
        self.timeline = Timeline(model, self._prior, judged, evidence.repairs, limits, beside=beside)
        self.weighed = self.timeline.weigh(self.told)
        self._others: dict[tuple[tuple[Reading, ...], ...], Weighed] = {}

    def _before_repair(self, before: Hearing | None) -> Hearing:
        """The job as it stood before its latest repair."""
        then = self.evidence.before_repair()
        known = before
        while known is not None:
            if known.says(then):
                return known
            known = known._before  # noqa: SLF001 - one of its own kind
        return Hearing(then, self._model, self._cells, self._limits, self)

    def _grounds(self) -> list[FaultSet]:
        """What was repaired, as it was seen before the latest repair."""
        if self._before is None or self._prior.few(self._limits):
            return []
        return bases(self._before.timeline.leading(self._before.weighed), self.evidence.repairs)

    def says(self, evidence: Evidence) -> bool:
        """Whether evidence comes to the same as that of this hearing: what tells nothing makes no difference."""
        mine = self.evidence
        if mine is evidence:
            return True
        same = (mine.repairs, mine.shifts, mine.sizes) == (evidence.repairs, evidence.shifts, evidence.sizes)
        return same and mine.epochs() == evidence.epochs()

    def otherwise(self, evidence: Evidence) -> Weighed:
        """Other readings of the same job weighed along the same timeline, so that the two can be compared.

        It is kept: what a job is without one of its readings is asked for once for every fault.
        """
        readings = evidence.epochs()
        if readings not in self._others:
            self._others[readings] = self.timeline.weigh(self._heard(evidence))
        return self._others[readings]

    def _heard(self, evidence: Evidence) -> Told:
        columns = [column for heard in self._kept.values() for column in heard.columns]
        return tuple(
            self._kept.get(epoch) or Heard(epoch, self._cells, self._prior.odds, columns) for epoch in evidence.epochs()
        )


class Judge:
    """Judges evidence about one machine. What it keeps changes its time and never its answers."""

    def __init__(self, model: FaultModel, table: Table, limits: Limits | None = None) -> None:
        self.model = model
        self.limits = limits or Limits()
        self.cells = Cells(model, table)
        self._rough = Rough(self.cells)
        self._heard: Hearing | None = None
        self._belief: tuple[Hearing, Belief] | None = None
        self._pool: tuple[Belief, Pool] | None = None
        self._ranked: tuple[Pool, Sequence[Offer], Ways, float, list[Ranked]] | None = None

    def belief(self, evidence: Evidence) -> Belief:
        """The odds after this evidence. The same evidence gives the same belief to the last bit, in whatever order.

        Raises:
            ValueError: if a reading has a finding that its check has not, or all that is possible is ruled out.
        """
        heard = self.hear(evidence)
        if self._belief is None or self._belief[0] is not heard:
            self._belief = heard, self.report(heard.weighed)
        return self._belief[1]

    def hear(self, evidence: Evidence) -> Hearing:
        """The evidence weighed, and ready to be weighed with a reading left out.

        Most entries of a job tell nothing of faults, such as a setting or an acknowledgement: the last hearing serves.
        """
        if self._heard is None or not self._heard.says(evidence):
            self._heard = Hearing(evidence, self.model, self.cells, self.limits, self._heard)
        return self._heard

    def pool(self, belief: Belief) -> Pool:
        """The leading hypotheses of a belief, as the choice of the next check weighs them."""
        if self._pool is None or self._pool[0] is not belief:
            self._pool = belief, Pool(belief, self.model, self._rough, self.limits.pool)
        return self._pool[1]

    def ranked(self, belief: Belief, offers: Sequence[Offer], ways: Ways, least: float = 0.0) -> list[Ranked]:
        """The leading checks of those offered that settle `least` of the doubt, best first: to decide and to choose."""
        pool = self.pool(belief)
        last = self._ranked
        if last is None or last[0] is not pool or last[1:4] != (offers, ways, least):
            last = self._ranked = pool, offers, ways, least, rank(pool, offers, ways, least)
        return last[4]

    def report(self, weighed: Weighed) -> Belief:
        """Weights as a belief."""
        now = weighed.epochs[-1]
        sets: dict[FaultSet, float] = {}
        for (faults, _), weight in now.items():
            sets[faults] = sets.get(faults, 0.0) + weight
        suspects = dict.fromkeys(sorted(self.model.odds), 0.0)
        parts = dict.fromkeys(sorted({self.model.part(name) for name in self.model.odds}), 0.0)
        work = dict.fromkeys(sorted(set(self.model.work.values())), 0.0)
        for members, weight in sets.items():
            for name in members:
                suspects[name] += weight
            for part in {self.model.part(name) for name in members}:
                parts[part] += weight
            for one in {self.model.work[name] for name in members}:
                work[one] += weight
        alike: dict[str, float] = {}
        for name, weight in weighed.alike.items():
            alike[self.model.part(name)] = alike.get(self.model.part(name), 0.0) + weight
        split = [Hypothesis(faults, shown, weight) for (faults, shown), weight in now.items()]
        likeliest = _ranked(suspects)
        return Belief(
            suspects=likeliest,
            parts=_ranked(parts),
            work=_ranked(work),
            sets=_ranked(sets),
            unknown=weighed.unknown,
            alike=_ranked(alike),
            sound=sets.get(SOUND, 0.0),
            hypotheses=tuple(sorted(split, key=lambda h: (-round(h.chance, DIGITS), h.faults, h.shown))),
            evidence=weighed.evidence,
            in_view=self._in_view(likeliest, sets),
        )

    def _in_view(
        self, suspects: tuple[tuple[str, float], ...], sets: Mapping[FaultSet, float]
    ) -> tuple[tuple[str, float], ...]:
        """The suspects without those that are there more often than not with one event that brought them."""
        if not self.model.events:
            return suspects
        brought: dict[tuple[str, str], float] = {}
        for faults, weight in sets.items():
            for event in self.model.events.intersection(faults):
                for name in faults:
                    brought[event, name] = brought.get((event, name), 0.0) + weight
        chances = dict(suspects)
        told = {name for (event, name), weight in brought.items() if event != name and weight > chances[name] / 2}
        return tuple([(name, chance) for name, chance in suspects if name not in told])


Key = TypeVar("Key", str, FaultSet)


def _ranked(chances: Mapping[Key, float]) -> tuple[tuple[Key, float], ...]:
    """Likeliest first, equal chances by id."""
    return tuple(sorted(chances.items(), key=lambda item: (-round(item[1], DIGITS), item[0])))
