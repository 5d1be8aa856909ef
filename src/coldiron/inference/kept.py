"""Rows of a table, worked out once and kept between runs: every single fault, and what the opening of a job asks for.

Most cells that a consultation asks for are of single faults, and they never change while the book stays the same. The
first judgement of a job, on the complaint alone, needs one row for each of many pairs as well: they are kept by
complaint. The figures are rounded when they are worked out, so that a row is the same to the last bit whether it comes
from the cache or not.
"""

from __future__ import annotations

import json
from collections.abc import Hashable, Iterable, Mapping

from coldiron.book.history import COMPLAINT
from coldiron.inference.evidence import Grouped, Levelled, Metered, Table, measuring
from coldiron.store import stamp
from coldiron.store.cache import Cache, KeptSort

_ROOMS = (stamp.TOP, "book", "choice", "circuits", "inference", "planner", "store")
ROWS = KeptSort("rows", _ROOMS)
"""Rows of single faults: kept by the machine, its checks and its faults."""

OPENING = KeptSort("opening", _ROOMS)
"""Rows that the first judgements on some complaints ask for: kept likewise."""

DIGITS = 12
"""Digits after the point that are kept."""

Row = tuple[float | None, ...]
Rows = dict[str, dict[frozenset[str], Row]]


class KeptTable:
    """A table with the rows of single faults at hand; all others come from the table behind it.

    Args:
        table: the table behind.
        checks: the checks whose rows are kept.
        faults: the single faults they are kept for.
        cache: where they are kept; without one they are worked out when they are asked for.
        machine: what the machine behind the table is told by: its book and its circuit.

    Attributes:
        openings: the complaints whose first judgement has all its rows at hand.
    """

    def __init__(
        self,
        table: Table,
        checks: Iterable[str],
        faults: Iterable[str],
        cache: Cache | None,
        machine: tuple[str, ...],
    ) -> None:
        self._table = table
        self._levelled = table if isinstance(table, Levelled) else None
        self._grouped = table if isinstance(table, Grouped) else None
        self._measured = measuring(table)
        self._checks = tuple(checks)
        self._faults = tuple(faults)
        self._rows: Rows = {check: {} for check in self._checks}
        self._cache = cache
        self._made_from = (*machine, " ".join(self._checks), " ".join(self._faults))
        self.openings: set[str] = self._begin(cache) if cache is not None else set()

    def chances(self, check: str, faults: frozenset[str]) -> Row:
        """Chance of each finding of a check under a set of faults, as the table behind says it."""
        rows = self._rows.get(check)
        row = rows.get(faults) if rows is not None else None
        if row is None:
            row = _rounded(self._table.chances(check, faults))
            if rows is not None and (len(faults) <= 1 or check == COMPLAINT):
                rows[faults] = row
        return row

    def levels(self, check: str, faults: frozenset[str]) -> tuple[Row, ...]:
        """The rows by level of severity, as the table behind says them; none where it knows no levels."""
        return self._levelled.levels(check, faults) if self._levelled else ()

    def at_once(self, check: str) -> Hashable:
        """What the table behind says of it; each check for itself where it says nothing."""
        return self._grouped.at_once(check) if self._grouped is not None else check

    def weighs(self, check: str) -> bool:
        """What the table behind says of it; nothing where it weighs no figures."""
        return self._measured.weighs(check)

    def weighed(self, check: str, faults: frozenset[str], figures: Metered) -> tuple[float, ...]:
        """How likely figures are, as the table behind says it."""
        return self._measured.weighed(check, faults, figures)

    def astray(self, check: str, figures: Metered) -> float:
        """How likely they are where nothing is known, as the table behind says it."""
        return self._measured.astray(check, figures)

    def usual(self, check: str, faults: frozenset[str]) -> tuple[Metered, ...]:
        """Metered that faults would show, as the table behind says it."""
        return self._measured.usual(check, faults)

    def keep_opening(self, complaint: str) -> None:
        """Keep the rows of the complaint that were asked for so far: the first judgement on it needs no others."""
        self.openings.add(complaint)
        if self._cache is not None:
            rows = {" ".join(sorted(faults)): row for faults, row in self._rows[COMPLAINT].items() if len(faults) > 1}
            self._cache.put(OPENING.key(*self._made_from), _bytes({"complaints": sorted(self.openings), "rows": rows}))

    def _begin(self, cache: Cache) -> set[str]:
        """Take the rows that are kept, or work them out and keep them; the complaints whose openings are there."""
        key = ROWS.key(*self._made_from)
        kept = _rows_from(cache.get(key), self._checks, self._faults)
        if kept is not None:
            self._rows = kept
            return self._openings(cache)
        self._work_out()
        cache.put(key, _rows_to(self._rows, self._checks, self._faults))
        return set()

    def _openings(self, cache: Cache) -> set[str]:
        """Take the kept rows of the complaint; the complaints they serve."""
        try:
            kept = json.loads(cache.get(OPENING.key(*self._made_from)) or b"")
            rows = {frozenset(faults.split(" ")): tuple(row) for faults, row in kept["rows"].items()}
            complaints = set(kept["complaints"])
        except (ValueError, KeyError, TypeError, AttributeError):
            return set()
        self._rows[COMPLAINT].update(rows)
        return complaints

    def _work_out(self) -> None:
        for faults in _sets(self._faults):
            for check in self._checks:
                self.chances(check, faults)


def _rounded(row: Row) -> Row:
    return tuple(None if chance is None else round(chance, DIGITS) for chance in row)


def _sets(faults: Iterable[str]) -> list[frozenset[str]]:
    return [frozenset(), *(frozenset((fault,)) for fault in faults)]


def _rows_from(data: bytes | None, checks: tuple[str, ...], faults: tuple[str, ...]) -> Rows | None:
    """Return the rows that `_rows_to` made bytes of; None if there are none, or it made other bytes."""
    try:
        kept = json.loads(data or b"")
        sets, different = _sets(faults), [tuple(row) for row in kept["rows"]]
        return {
            check: dict(zip(sets, [different[place] for place in places], strict=True))
            for check, places in zip(checks, kept["places"], strict=True)
        }
    except (ValueError, LookupError, TypeError):
        return None


def _rows_to(
    rows: Mapping[str, Mapping[frozenset[str], Row]], checks: tuple[str, ...], faults: tuple[str, ...]
) -> bytes:
    """Write each different row once, since most faults leave most checks alone, and for each check the rows' places."""
    sets = _sets(faults)
    numbers: dict[Row, int] = {}
    places = [[numbers.setdefault(rows[check][one], len(numbers)) for one in sets] for check in checks]
    return _bytes({"rows": list(numbers), "places": places})


def _bytes(kept: object) -> bytes:
    return json.dumps(kept, separators=(",", ":")).encode()
