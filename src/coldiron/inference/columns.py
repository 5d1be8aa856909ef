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

STILL = 0.05
"""A fault moves a reading if it makes it likelier or less likely by more than this, as a log of chances."""

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
        self.masked = masked
        self._neutral: float | None = None
        self._moved: dict[FaultSet, bool] = {}
        self._beside: dict[tuple[FaultSet, FaultSet], tuple[float, tuple[float, ...]]] = {}

    def of(self, sets: Collection[FaultSet]) -> Mapping[FaultSet, float]:
        """Log-likelihood of the finding for each of the sets (and perhaps for more)."""
        known, gaps = self._cells.logs(self.reading.check, self.told, sets)
        if not self.masked and not gaps:
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
        if not self.masked:
            return known
        return {faults: logs for faults, logs in known.items() if self.masked.isdisjoint(faults)}

    def best(self, faults: FaultSet) -> float:
        """Log-likelihood for one set, at the level of severity that fits best."""
        known = self._cells.best(self.reading.check, self.told, faults) if self.masked.isdisjoint(faults) else None
        return self.neutral() if known is None else known

    def against_sound(self) -> Sequence[float]:
        """By how much each fault alone, in order of name, explains the reading better at best than a sound machine."""
        known = None if self.masked else self._cells.against_sound(self.reading.check, self.told)
        if known is not None:
            return known
        sound = max(self.best(SOUND), LEAST)
        return [max(self.best((name,)), LEAST) - sound for name in sorted(self._odds)]

    def beside(self, faults: FaultSet, base: FaultSet) -> tuple[float, tuple[float, ...]]:
        """Log-likelihood for a set that is one fault beside its base, then at each level of severity if it differs.

        A reading that the one does not move alone is taken for that of the base, one that the base does not move for
        that of the one. Only where both move it the whole set is solved.
        """
        known = self._beside.get((faults, base))
        if known is None:
            one = self._stand_in(faults, base)
            known = self._beside[faults, base] = self.of([one])[one], self.levels([one]).get(one, ())
        return known

    def _stand_in(self, faults: FaultSet, base: FaultSet) -> FaultSet:
        more = tuple([name for name in faults if name not in base])
        if not more or not self._moves(more):
            return base
        return faults if base and self._moves(base) else more

    def _moves(self, faults: FaultSet) -> bool:
        """Whether a set reads otherwise than a sound machine."""
        known = self._moved.get(faults)
        if known is None:
            logs = self.of([SOUND, faults])
            known = self._moved[faults] = abs(max(logs[faults], LEAST) - max(logs[SOUND], LEAST)) > STILL
        return known

    def silent(self, faults: FaultSet) -> bool:
        """True if the reading says nothing about a set."""
        _, gaps = self._cells.logs(self.reading.check, self.told, [faults])
        return self._silent(faults, gaps)

    def _silent(self, faults: FaultSet, gaps: set[FaultSet]) -> bool:
        return faults in gaps or not self.masked.isdisjoint(faults)

    def _chance(self, faults: FaultSet) -> float:
        return max(self._cells.chance(self.reading.check, self.told, faults) or 0.0, self._cells.model.floor)


class Heard:
    """The readings of one epoch: a column each, and what they come to together by set, kept."""

    def __init__(
        self, readings: Sequence[Reading], cells: Cells, odds: Mapping[str, float], known: Sequence[Column] = ()
    ) -> None:
        """Take the readings, in the order in which they are added up, and columns that may be some of theirs.

        Raises:
            ValueError: if a reading has no finding, or none of that number.
        """
        masked: dict[str, frozenset[str]] = {}
        for reading in readings:
            for check, faults in reading.masks:
                masked[check] = masked.get(check, NO_FAULTS) | faults
        made = {(column.reading, column.masked): column for column in known}
        wanted = [(one, masked.get(one.check, NO_FAULTS)) for one in readings]
        self.columns = tuple([made.get(one) or Column(one[0], cells, odds, one[1]) for one in wanted])
        self._sums: dict[FaultSet, float] = {}
        self._near: dict[tuple[FaultSet, FaultSet], float] = {}
        self._alongside: dict[FaultSet, Mapping[FaultSet, float]] = {}

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
        for faults in new:
            told = [(column[faults], each.get(faults, ())) for column, each in zip(logs, levels, strict=True)]
            self._sums[faults] = _added_up(told)
        return self._sums

    def alongside(self, base: FaultSet, singles: Sequence[FaultSet]) -> Mapping[FaultSet, float]:
        """About what the readings say of a base with each of the singles beside it, none of these sets solved.

        Where both move a reading, it is taken to be as well explained as by the better of the two alone.
        """
        known = self._alongside.get(base)
        if known is None:
            known = self._alongside[base] = self._roughly(base, singles)
        return known

    def _roughly(self, base: FaultSet, singles: Sequence[FaultSet]) -> dict[FaultSet, float]:
        if not base:
            alone = self.likelihoods(singles)
            return {one: max(alone[one], LEAST * len(self.columns)) for one in singles}
        sums = dict.fromkeys(singles, 0.0)
        for column in self.columns:
            logs = column.of([SOUND, base, *singles])
            sound, ground = max(logs[SOUND], LEAST), max(logs[base], LEAST)
            steady = abs(ground - sound) <= STILL
            for one in singles:
                mine = max(logs[one], LEAST)
                if abs(mine - sound) <= STILL:
                    sums[one] += ground
                else:
                    sums[one] += mine if steady else max(mine, ground)
        return sums

    def beside(self, faults: FaultSet, base: FaultSet) -> float:
        """About the same of a set that is one fault beside others, its base: each reading by what moves it."""
        key = faults, base
        if key not in self._near:
            told = [column.beside(faults, base) for column in self.columns]
            self._near[key] = _added_up(told)
        return self._near[key]


def _added_up(told: Sequence[tuple[float, tuple[float, ...]]]) -> float:
    """Log-likelihoods of one set, each with those by level if they differ."""
    apart: float = sum([whole for whole, _ in told])
    hanging = [levels for _, levels in told if levels]
    if len(hanging) < 2:
        return apart
    others = sum([whole for whole, levels in told if not levels])
    by_level = [others + sum(level) for level in zip(*hanging, strict=True)]
    top: float = max(*by_level, apart)
    if top == IMPOSSIBLE:
        return top
    together = sum([exp(one - top) for one in by_level]) / len(by_level)
    return top + log((1 - BETWEEN) * together + BETWEEN * exp(apart - top))
