"""Rows of a table, worked out once and kept in files: every single fault, and what the opening of a job asks for.

Most cells that a consultation asks for are of single faults, and they never change while the book stays the same. The
first judgement of a job, on the complaint alone, needs one row for each of many pairs as well: they are kept by
complaint. The figures are rounded when they are worked out, so that a row is the same to the last bit whether it comes
from a file or not.
"""

from __future__ import annotations

import json
from collections.abc import Hashable, Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from coldiron.diagnosis.evidence import Grouped, Levelled, Table
from coldiron.folders import prune, read_kept, write_kept
from coldiron.model import COMPLAINT

FORMAT = 2
"""Raise it whenever a chance may come out differently: what older numbers kept is not used."""

MOST_KEPT = 20
"""Files of rows in the folder; the oldest go when there are more."""

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
        file: where they are kept; a file that is missing, damaged or cannot be written costs only time.

    Attributes:
        openings: the complaints whose first judgement has all its rows at hand.
    """

    def __init__(self, table: Table, checks: Iterable[str], faults: Iterable[str], file: Path | None) -> None:
        self._table = table
        self._levelled = table if isinstance(table, Levelled) else None
        self._checks = tuple(checks)
        self._faults = tuple(faults)
        kept = _load(file, self._checks, self._faults) if file else None
        self._rows: Rows = kept or {check: {} for check in self._checks}
        self._opening_file = file.with_name(file.name.replace("rows-", "opening-", 1)) if file else None
        if file is not None and kept is None:
            self._work_out()
            _save(file, self._checks, self._faults, self._rows)
        self.openings = self._openings() if kept and self._opening_file else set()

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
        return self._table.at_once(check) if isinstance(self._table, Grouped) else check

    def keep_opening(self, complaint: str) -> None:
        """Keep the rows of the complaint that were asked for so far: the first judgement on it needs no others."""
        self.openings.add(complaint)
        if self._opening_file is not None:
            rows = {" ".join(sorted(faults)): row for faults, row in self._rows[COMPLAINT].items() if len(faults) > 1}
            _write(self._opening_file, {"complaints": sorted(self.openings), "rows": rows}, "opening-")

    def _openings(self) -> set[str]:
        """Take the kept rows of the complaint; the complaints they serve."""
        try:
            kept = json.loads(read_kept(self._opening_file) or b"")  # type: ignore[arg-type]  # see the caller
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


def path_for(folder: Path, book_hash: str, circuit: str, model: int) -> Path:
    """Where the rows of a circuit of a book are kept; `model` is the number of the electrical model behind them."""
    return folder / f"rows-{FORMAT}-{model}-{circuit}-{book_hash[:32]}.json"


def _load(file: Path, checks: tuple[str, ...], faults: tuple[str, ...]) -> Rows | None:
    """The kept rows; None if there are none or they are not those that were asked for."""
    try:
        kept = json.loads(read_kept(file) or b"")
        if kept["checks"] != list(checks) or kept["faults"] != list(faults):
            return None
        sets, different = _sets(faults), [tuple(row) for row in kept["rows"]]
        return {
            check: dict(zip(sets, [different[place] for place in places], strict=True))
            for check, places in zip(checks, kept["places"], strict=True)
        }
    except (ValueError, LookupError, TypeError):
        return None


def _save(
    file: Path, checks: tuple[str, ...], faults: tuple[str, ...], rows: Mapping[str, Mapping[frozenset[str], Row]]
) -> None:
    """Write each different row once, since most faults leave most checks alone, and for each check the rows' places."""
    sets = _sets(faults)
    numbers: dict[Row, int] = {}
    places = [[numbers.setdefault(rows[check][one], len(numbers)) for one in sets] for check in checks]
    _write(file, {"checks": checks, "faults": faults, "rows": list(numbers), "places": places}, "rows-")


def _write(file: Path, kept: object, sort: str) -> None:
    if write_kept(file, json.dumps(kept, separators=(",", ":")).encode()):
        with suppress(OSError):
            prune(str(file.parent), sort, MOST_KEPT)
