"""What a check would show, near enough to choose by, without asking the table for every set.

Several faults that show at once are taken to read like the one of them that moves the reading furthest from a sound
machine. Only the choice of the next check uses this; the odds always use what the whole set shows.
"""

from __future__ import annotations

from math import log2

from coldiron.diagnosis.cells import SOUND, Cells, Row
from coldiron.diagnosis.faults import FaultSet

Chances = tuple[float, ...]


class Rough:
    """Rows by check and set, with gaps filled, kept."""

    def __init__(self, cells: Cells) -> None:
        self._cells = cells
        self._rows: dict[str, dict[FaultSet | None, tuple[Chances, float]]] = {}
        self._means: dict[str, Chances] = {}
        self._moved: dict[str, dict[str, float]] = {}

    def row(self, check: str, shown: FaultSet | None) -> tuple[Chances, float]:
        """Chances of the findings, and their uncertainty in bits; None for a fault that is not in the book."""
        rows = self._rows.setdefault(check, {})
        row = rows.get(shown)
        if row is None:
            chances = self._cells.unknown(check) if shown is None else self._known(check, shown)
            row = rows[shown] = chances, -sum(p * log2(p) for p in chances if p > 0)
        return row

    def _known(self, check: str, shown: FaultSet) -> Chances:
        if len(shown) > 1:
            moved = self._moved.setdefault(check, {})
            for name in shown:
                if name not in moved:
                    moved[name] = self._distance(check, name)
            shown = (max(shown, key=lambda name: (round(moved[name], 9), name)),)
        return self._filled(check, self._cells.row(check, shown))

    def _distance(self, check: str, fault: str) -> float:
        sound = self.row(check, SOUND)[0]
        return sum(abs(a - b) for a, b in zip(self.row(check, (fault,))[0], sound, strict=True))

    def _filled(self, check: str, row: Row) -> Chances:
        """A row whose gaps are filled with what the faults one knows of show on average."""
        known = [chance for chance in row if chance is not None]
        if len(known) == len(row):
            return tuple(known)
        mean = self._mean(check)
        total = sum(known)
        gap = sum(m for m, chance in zip(mean, row, strict=True) if chance is None)
        scale = max(0.0, 1 - total) / gap if gap > 0 else 0.0
        return tuple(m * scale if chance is None else chance for m, chance in zip(mean, row, strict=True))

    def _mean(self, check: str) -> Chances:
        mean = self._means.get(check)
        if mean is None:
            odds = self._cells.model.odds
            rows = [(odds[name], self._cells.row(check, (name,))) for name in sorted(odds)]
            whole = [(weight, [c for c in row if c is not None]) for weight, row in rows if None not in row]
            total = sum(weight for weight, _ in whole)
            count = len(self._cells.row(check, SOUND))
            mean = (
                tuple(sum(weight * row[i] for weight, row in whole) / total for i in range(count))
                if total > 0
                else (1 / count,) * count
            )
            self._means[check] = mean
        return mean
