"""Solved values kept in a file between runs, by book, circuit and the version of this package's electrical model.

The first line names the checks and the sets of faults; each line after it holds the values of one set, and is read when
that set is first asked for: most never are.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from coldiron.folders import read_kept, write_kept

MODEL = 6
"""Raise it whenever a solved value may come out differently, or is written otherwise: older files are not used."""

Values = tuple[float, ...]


class Table(dict[frozenset[str], dict[str, Values]]):
    """Values by set of faults and check; a set that is not there is taken from its line, or begun."""

    def __init__(self, checks: tuple[str, ...], lines: Mapping[frozenset[str], bytes] | None = None) -> None:
        super().__init__()
        self.checks = checks
        self._lines = dict(lines or {})

    def __missing__(self, faults: frozenset[str]) -> dict[str, Values]:
        """Return what is kept of a set; nothing of it where its line is damaged."""
        row = self[faults] = self._read(self._lines.pop(faults, b"[]"))
        return row

    def _read(self, line: bytes) -> dict[str, Values]:
        try:
            return {check: tuple(row) for check, row in zip(self.checks, json.loads(line), strict=True) if row}
        except (ValueError, TypeError):
            return {}

    def line(self, faults: frozenset[str]) -> str:
        """What is there of a set, as it is written."""
        if faults in self._lines:
            return self._lines[faults].decode(errors="replace")
        row = self[faults]
        return json.dumps([row.get(check, ()) for check in self.checks], separators=(",", ":"))

    @property
    def sets(self) -> tuple[frozenset[str], ...]:
        """Every set of which something is there."""
        return (*self, *self._lines)


def path_for(folder: Path, book_hash: str, circuit: str) -> Path:
    """Where the values of a circuit of a book are kept."""
    return folder / f"solved-{MODEL}-{circuit}-{book_hash[:32]}.json"


def load(path: Path) -> Table | None:
    """The kept values; None if there are none or the file is not as it was written."""
    try:
        first, *lines = (read_kept(path) or b"").split(b"\n")
        kept = json.loads(first)
        sets = [frozenset(filter(None, faults.split(" "))) for faults in kept["sets"]]
        return Table(tuple(kept["checks"]), dict(zip(sets, lines, strict=True)))
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def save(path: Path, table: Table, sets: Iterable[frozenset[str]]) -> bool:
    """Keep the values of these sets; False if they cannot be written, which costs time later and nothing else."""
    names = sorted((" ".join(sorted(faults)), faults) for faults in sets)
    head = json.dumps({"checks": table.checks, "sets": [name for name, _ in names]}, separators=(",", ":"))
    return write_kept(path, "\n".join([head, *(table.line(faults) for _, faults in names)]).encode())
