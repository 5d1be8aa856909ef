"""The table of a machine whose fault comes and goes: a reading finds it there, or finds the machine in order.

So a good reading on a good day clears little. What eyes and hands find with everything off is there all the same.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable

from coldiron.inference.evidence import Grouped, Levelled, Table
from coldiron.inference.faults import FaultModel
from coldiron.record import replace

Row = tuple[float | None, ...]

SOUND: frozenset[str] = frozenset()


def unsteady(model: FaultModel) -> FaultModel:
    """The faults for such a table: whether one shows is a matter of each reading, no more of the whole day."""
    return replace(model, shows_now={})


class Flickering:
    """A table in which every reading has its own chance of finding the fault there."""

    def __init__(self, table: Table, steady: Collection[str], there: float) -> None:
        """Take the table behind, the checks that find it whether it shows or not, and how often it is there."""
        self._table = table
        self._levelled = table if isinstance(table, Levelled) else None
        self._grouped = table if isinstance(table, Grouped) else None
        self._steady = frozenset(steady)
        self._there = there

    def chances(self, check: str, faults: frozenset[str]) -> Row:
        """Chance of each finding of a check under a set of faults, whether they show or not."""
        return self._now_and_then(check, self._table.chances(check, faults))

    def levels(self, check: str, faults: frozenset[str]) -> tuple[Row, ...]:
        """The same by level of severity."""
        rows = self._levelled.levels(check, faults) if self._levelled else ()
        return tuple([self._now_and_then(check, row) for row in rows])

    def at_once(self, check: str) -> Hashable:
        """The same for checks whose rows are worked out together."""
        return self._grouped.at_once(check) if self._grouped is not None else check

    def _now_and_then(self, check: str, row: Row) -> Row:
        if check in self._steady:
            return row
        away = 1 - self._there
        sound = self._table.chances(check, SOUND)
        return tuple(
            [
                None if one is None or well is None else self._there * one + away * well
                for one, well in zip(row, sound, strict=True)
            ]
        )
