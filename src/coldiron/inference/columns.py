"""Columns of log-likelihoods, one per reading, with what the reading says nothing about made neutral.

A reading says nothing about a set if its cell is not known, or if a derived finding speaks for it instead (a mask).
Such a set gets the mean chance of the finding over the single faults the reading does speak of, by their odds: hearing
it then moves the set neither up nor down. (A likelihood of 1 would let the fault win of which least is known.)
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from math import exp, fsum, log

from coldiron.inference.cells import IMPOSSIBLE, LEAST, SOUND, Cells, log_of
from coldiron.inference.descent import FaultSet
from coldiron.inference.evidence import Metered, Reading, Told

NO_FAULTS: frozenset[str] = frozenset()

BETWEEN = 0.3
"""Chance that a fault is as bad as none of the levels that were solved, so that each reading is taken by itself.

An estimate, no source: three levels stand for a range in which a real fault lies anywhere.
"""


class Column:
    """What one reading says about every set of faults that shows."""

    def __init__(self, reading: Reading, cells: Cells, odds: Mapping[str, float], masked: frozenset[str]) -> None:
        """Take the reading, the cells, the odds of the faults now, and the faults the reading is masked for.

        Raises:
            ValueError: if the reading has no finding, none of that number, or another number of weights.
        """
        self.reading = reading
        chances = cells.unknown(reading.check)
        if reading.finding is None or not 0 <= reading.finding < len(chances):
            raise ValueError(f"{reading.check} has no finding {reading.finding}")
        if reading.weights and len(reading.weights) != len(chances):
            raise ValueError(f"{reading.check} has {len(chances)} findings and {len(reading.weights)} weights")
        figures = Metered(reading.figures) if reading.figures and cells.weighs(reading.check) else None
        self.told: Told = figures or reading.weights or reading.finding
        self.unknown = log_of(max(cells.of_unknown(reading.check, self.told), cells.model.floor))
        """Log-likelihood if the fault is not in the book."""
        self._cells = cells
        self._odds = odds
        self._masked = masked
        self._neutral: float | None = None

    def of(self, sets: Collection[FaultSet]) -> Mapping[FaultSet, float]:
        """Log-likelihood of the finding for each of the sets (and perhaps for more)."""
        known, gaps = self._cells.logs(self.reading.check, self.told, sets)
        if not self._masked and not gaps:
            return known
        return {faults: self.neutral() if self._silent(faults, gaps) else known[faults] for faults in sets}

    def neutral(self) -> float:
        """Log-likelihood for a set that the reading says nothing about; 0 if it says nothing about anything."""
        if self._neutral is None:
            singles: list[FaultSet] = [(name,) for name in self._odds]
            _, gaps = self._cells.logs(self.reading.check, self.told, singles)
            spoken = [faults for faults in singles if not self._silent(faults, gaps)]
            total = fsum(self._odds[name] for (name,) in spoken)
            met = fsum(self._odds[faults[0]] * self._chance(faults) for faults in spoken)
            self._neutral = log_of(met / total) if spoken else 0.0
        return self._neutral

    def levels(self, sets: Collection[FaultSet]) -> Mapping[FaultSet, tuple[float, ...]]:
        """Log-likelihood at each level of severity, for those of the sets (and perhaps of more) where it differs."""
        known = self._cells.levels(self.reading.check, self.told, sets)
        if not self._masked:
            return known
        return {faults: logs for faults, logs in known.items() if self._masked.isdisjoint(faults)}

    def best(self, faults: FaultSet) -> float:
        """Log-likelihood for one set, at the level of severity that fits best."""
        known = self._cells.best(self.reading.check, self.told, faults) if self._masked.isdisjoint(faults) else None
        return self.neutral() if known is None else known

    def against_sound(self) -> Sequence[float]:
        """By how much each fault alone, in order of name, explains the reading better at best than a sound machine."""
        known = None if self._masked else self._cells.against_sound(self.reading.check, self.told)
        if known is not None:
            return known
        sound = max(self.best(SOUND), LEAST)
        return [max(self.best((name,)), LEAST) - sound for name in sorted(self._odds)]

    def silent(self, faults: FaultSet) -> bool:
        """True if the reading says nothing about a set."""
        _, gaps = self._cells.logs(self.reading.check, self.told, [faults])
        return self._silent(faults, gaps)

    def _silent(self, faults: FaultSet, gaps: set[FaultSet]) -> bool:
        return faults in gaps or not self._masked.isdisjoint(faults)

    def _chance(self, faults: FaultSet) -> float:
        return max(self._cells.chance(self.reading.check, self.told, faults) or 0.0, self._cells.model.floor)


class Heard:
    """The readings of one epoch: a column each, and what they come to together by set, kept."""

    def __init__(self, readings: Sequence[Reading], cells: Cells, odds: Mapping[str, float]) -> None:
        """Take the readings, in the order in which they are added up.

        Raises:
            ValueError: if a reading has no finding, or none of that number.
        """
        masked: dict[str, frozenset[str]] = {}
        for reading in readings:
            for check, faults in reading.masks:
                masked[check] = masked.get(check, NO_FAULTS) | faults
        self.columns = tuple(Column(one, cells, odds, masked.get(one.check, NO_FAULTS)) for one in readings)
        self._sums: dict[FaultSet, float] = {}

    def likelihoods(self, sets: Collection[FaultSet]) -> Mapping[FaultSet, float]:
        """Log-likelihood of all the readings for each set that shows (and perhaps for more).

        Faults are as bad for one reading as for the next: where several readings hang on it, they are added up for
        each level of severity by itself. Three dark lamps behind one poor joint are no three witnesses. But levels are
        few, and a joint may be between two of them, like the one for this reading and like the other for that:
        `BETWEEN`.
        """
        new = [faults for faults in sets if faults not in self._sums]
        logs = [column.of(new) for column in self.columns]
        levels = [column.levels(new) for column in self.columns]
        self._sums.update([(faults, _added_up(logs, levels, faults)) for faults in new])
        return self._sums


def _added_up(
    logs: Sequence[Mapping[FaultSet, float]], levels: Sequence[Mapping[FaultSet, tuple[float, ...]]], faults: FaultSet
) -> float:
    apart: float = sum([column[faults] for column in logs])
    hanging = [each[faults] for each in levels if faults in each]
    if len(hanging) < 2:
        return apart
    others = sum([column[faults] for column, each in zip(logs, levels, strict=True) if faults not in each])
    whole = [others + sum(level) for level in zip(*hanging, strict=True)]
    top: float = max(*whole, apart)
    if top == IMPOSSIBLE:
        return top
    together = sum([exp(one - top) for one in whole]) / len(whole)
    return top + log((1 - BETWEEN) * together + BETWEEN * exp(apart - top))
