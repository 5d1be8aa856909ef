"""What a check would show: near enough to make a shortlist by, or as the whole set shows it.

For the shortlist several faults that show at once are taken to read like the one of them that moves the reading
furthest from a sound machine, which asks nothing of the table. That is often wrong: with a link blown no amps flow
through the short behind it. So nothing is offered, and nothing promised, before the rows of the whole sets are worked
out.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from operator import itemgetter
from typing import cast

from coldiron.entropy import entropy
from coldiron.inference.cells import SOUND, Cells, Row
from coldiron.inference.descent import FaultSet

Chances = tuple[float, ...]
Entry = tuple[Chances, float]
"""Chances of the findings of a check, and their uncertainty in bits. Equal chances of a check are one entry."""

MOVED = itemgetter(0)


class Rough:
    """Rows by check and set, with gaps filled, kept. Sets go by numbers, which are quicker to look up."""

    def __init__(self, cells: Cells) -> None:
        self._cells = cells
        self._numbers: dict[FaultSet, int] = {}
        self._sets: list[FaultSet] = []
        self._rows: dict[str, dict[int, Entry]] = {}
        self._whole: dict[str, dict[int, Entry]] = {}
        self._entries: dict[str, dict[Row, Entry]] = {}
        self._means: dict[str, Chances] = {}
        self._alone: dict[str, dict[str, tuple[float, Entry]]] = {}

    def number(self, shown: FaultSet) -> int:
        """The number of a set of faults that show."""
        number = self._numbers.setdefault(shown, len(self._sets))
        if number == len(self._sets):
            self._sets.append(shown)
        return number

    def several(self, numbers: Sequence[int]) -> int:
        """How many of the sets have several faults: only their rows have to be worked out."""
        return sum([len(self._sets[number]) > 1 for number in set(numbers)])

    def at_once(self, check: str) -> Hashable:
        """The same for checks whose rows are worked out together; None where nothing is worked out."""
        return self._cells.at_once(check)

    def near(self, check: str, numbers: Sequence[int]) -> list[Entry]:
        """Chances of the findings of a check under several sets, near enough, each with its uncertainty in bits."""
        rows = self._rows.setdefault(check, {})
        for number in numbers:
            if number not in rows:
                shown = self._sets[number]
                rows[number] = self._furthest(check, shown) if len(shown) > 1 else self._entry(check, shown)
        return [rows[number] for number in numbers]

    def whole(self, check: str, numbers: Sequence[int]) -> list[Entry]:
        """The same as the whole sets show it."""
        rows = self._whole.setdefault(check, {})
        for number in numbers:
            if number not in rows:
                rows[number] = self._entry(check, self._sets[number])
        return [rows[number] for number in numbers]

    def _entry(self, check: str, shown: FaultSet) -> Entry:
        row = self._cells.row(check, shown)
        entries = self._entries.setdefault(check, {})
        entry = entries.get(row)
        if entry is None:
            chances = self._filled(check, row)
            entry = entries[row] = chances, entropy(chances)
        return entry

    def _furthest(self, check: str, faults: FaultSet) -> Entry:
        """What the fault shows that moves a check furthest from a sound machine, the first of equals."""
        alone = self._alone.setdefault(check, {})
        for name in faults:
            if name not in alone:
                sound, entry = self._entry(check, SOUND)[0], self._entry(check, (name,))
                alone[name] = round(sum([abs(a - b) for a, b in zip(entry[0], sound, strict=True)]), 9), entry
        return max([alone[name] for name in faults], key=MOVED)[1]

    def _filled(self, check: str, row: Row) -> Chances:
        """A row of the table, its gaps filled with what the faults one knows of show on average."""
        if None not in row:
            return cast("Chances", row)
        known = [chance for chance in row if chance is not None]
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
