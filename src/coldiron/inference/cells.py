"""Cells of the table, kept: chances and log-likelihoods by check and fault set, each asked for once."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from math import log

from coldiron.inference.descent import FaultSet
from coldiron.inference.evidence import Grouped, Levelled, Metered, Table, Told, measuring
from coldiron.inference.faults import FaultModel
from coldiron.inference.ruler import NODES

IMPOSSIBLE = float("-inf")
"""The log of a chance of 0."""

LEAST = -30.0
"""Where readings are weighed one by one, a log-likelihood below this counts as this, which keeps it finite."""

SOUND: FaultSet = ()
"""The machine without a fault."""

Row = tuple[float | None, ...]
"""Chances of the findings of one check under one set; None is a cell nobody knows."""


def log_of(chance: float) -> float:
    """The log of a chance, of 0 too."""
    return log(chance) if chance > 0 else IMPOSSIBLE


def chance_of(row: Row, told: int | tuple[float, ...]) -> float | None:
    """The chance that a row gives to what was told: to a finding, or the sum over weighted findings.

    None if a cell that counts is not known.
    """
    if isinstance(told, int):
        return row[told]
    met = [(weight, chance) for weight, chance in zip(told, row, strict=True) if weight]
    if any(chance is None for weight, chance in met if weight > 0):
        return None
    return max(0.0, sum([weight * chance for weight, chance in met if chance is not None]))


class Cells:
    """The table behind a cache. What is kept never changes an answer, only its time."""

    def __init__(self, model: FaultModel, table: Table) -> None:
        self.model = model
        self.asked = 0
        """How many rows the table was asked for so far; benchmarks read it."""
        self._table = table
        self._rows: dict[str, dict[FaultSet, Row]] = {}
        self._logs: dict[tuple[str, Told], dict[FaultSet, float]] = {}
        self._gaps: dict[tuple[str, Told], set[FaultSet]] = {}
        self._levelled = table if isinstance(table, Levelled) else None
        self._grouped = table if isinstance(table, Grouped) else None
        self._measured = measuring(table)
        self._sizes: dict[tuple[str, Metered], dict[FaultSet, tuple[float, ...]]] = {}
        self._at_once: dict[str, Hashable] = {}
        self._levels: dict[tuple[str, Told], dict[FaultSet, tuple[float, ...]]] = {}
        self._looked_at: dict[tuple[str, Told], set[FaultSet]] = {}
        self._against: dict[tuple[str, Told], tuple[float, ...] | None] = {}

    def row(self, check: str, faults: FaultSet) -> Row:
        """Chances of all findings of a check under a set."""
        rows = self._rows.setdefault(check, {})
        row = rows.get(faults)
        if row is None:
            self.asked += 1
            row = rows[faults] = self._table.chances(check, frozenset(faults))
        return row

    def at_once(self, check: str) -> Hashable:
        """The same for checks whose rows are worked out together; None where nothing is worked out."""
        if check not in self._at_once:
            self._at_once[check] = self._grouped.at_once(check) if self._grouped is not None else check
        return self._at_once[check]

    def weighs(self, check: str) -> bool:
        """Whether the figures of a check are weighed as such."""
        return self._measured.weighs(check)

    def chance(self, check: str, told: Told, faults: FaultSet) -> float | None:
        """The likelihood of what was told under a set; None if a cell that counts is not known."""
        if not isinstance(told, Metered):
            return chance_of(self.row(check, faults), told)
        sizes = self._by_size(check, told, faults)
        return sum(sizes) / len(sizes)

    def of_unknown(self, check: str, told: Told) -> float:
        """The likelihood of what was told if the fault is not in the book."""
        if not isinstance(told, Metered):
            return chance_of(self.unknown(check), told) or 0.0
        flat = self.model.unknown_flat
        sound = self.chance(check, told, SOUND) or 0.0
        return flat * self._measured.astray(check, told) + (1 - flat) * sound

    def usual(self, check: str, faults: FaultSet) -> tuple[Metered, ...]:
        """Metered that a set would show, equally likely."""
        return self._measured.usual(check, frozenset(faults))

    def _by_size(self, check: str, told: Metered, faults: FaultSet) -> tuple[float, ...]:
        sizes = self._sizes.setdefault((check, told), {})
        known = sizes.get(faults)
        if known is None:
            known = sizes[faults] = self._measured.weighed(check, frozenset(faults), told)
        return known

    def logs(
        self, check: str, finding: Told, sets: Iterable[FaultSet]
    ) -> tuple[Mapping[FaultSet, float], set[FaultSet]]:
        """Log-likelihood of one finding by set, for these sets and all asked for before, and the sets not known."""
        column = self._logs.setdefault((check, finding), {})
        gaps = self._gaps.setdefault((check, finding), set())
        for faults in [faults for faults in sets if faults not in column and faults not in gaps]:
            chance = self.chance(check, finding, faults)
            if chance is None:
                gaps.add(faults)
            else:
                column[faults] = log_of(max(chance, self.model.floor))
        return column, gaps

    def levels(self, check: str, finding: Told, sets: Iterable[FaultSet]) -> Mapping[FaultSet, tuple[float, ...]]:
        """Log-likelihood of one finding at each level of severity, by set; only sets for which the level matters."""
        column = self._levels.setdefault((check, finding), {})
        if self._levelled is None:
            return column
        looked_at = self._looked_at.setdefault((check, finding), set())
        for faults in [faults for faults in sets if faults not in looked_at]:
            looked_at.add(faults)
            chances = self._chances_by_level(check, finding, faults)
            logs = [log_of(max(chance, self.model.floor)) for chance in chances if chance is not None]
            if chances and len(logs) == len(chances) and max(logs) > min(logs):
                column[faults] = tuple(logs)
        return column

    def _chances_by_level(self, check: str, told: Told, faults: FaultSet) -> Sequence[float | None]:
        """The likelihood of what was told at each size; a level that was solved stands for the sizes around it."""
        if isinstance(told, Metered):
            sizes = self._by_size(check, told, faults)
            return sizes if len(sizes) > 1 else ()
        rows = self._levelled.levels(check, frozenset(faults)) if self._levelled is not None else ()
        return [chance for row in rows for chance in [chance_of(row, told)] * NODES]

    def best(self, check: str, finding: Told, faults: FaultSet) -> float | None:
        """Log-likelihood of one finding under one set, at the level that fits best; None if the cell is not known."""
        key = check, finding
        known = self._logs.get(key, {}).get(faults)
        if known is None:
            known = self.logs(check, finding, (faults,))[0].get(faults)
        if faults not in self._looked_at.get(key, ()):
            self.levels(check, finding, (faults,))
        levels = self._levels[key].get(faults)
        return known if known is None or levels is None else max(known, *levels)

    def against_sound(self, check: str, finding: Told) -> tuple[float, ...] | None:
        """By how much each single fault, in order of name, explains a finding better at best than a sound machine.

        None if one of these cells is not known.
        """
        key = check, finding
        if key not in self._against:
            singles: list[FaultSet] = [(name,) for name in sorted(self.model.odds)]
            scores = [self.best(check, finding, faults) for faults in [SOUND, *singles]]
            known = [max(score, LEAST) for score in scores if score is not None]
            whole = len(known) == len(scores)
            self._against[key] = tuple([score - known[0] for score in known[1:]]) if whole else None
        return self._against[key]

    def unknown(self, check: str) -> tuple[float, ...]:
        """Chances of the findings if the fault is not in the book: part as on a sound machine, part even."""
        sound = self.row(check, SOUND)
        even = 1 / len(sound)
        flat = self.model.unknown_flat
        return tuple(even if chance is None else flat * even + (1 - flat) * chance for chance in sound)
