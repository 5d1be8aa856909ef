"""Solved values of a machine, and the bytes in which they are kept between runs.

The first line names the checks and the sets of faults; each line after it holds the values of one set, and is read when
that set is first asked for: most never are.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from coldiron.store import stamp
from coldiron.store.cache import KeptSort

SOLVED = KeptSort("solved", (stamp.TOP, "book", "circuits", "store"))
"""Solved values of one machine: kept by the book and the circuit that it is composed from."""

Values = tuple[float, ...]


class SolvedTable(dict[frozenset[str], dict[str, Values]]):
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


def to_bytes(table: SolvedTable, sets: Iterable[frozenset[str]]) -> bytes:
    """Return the values of these sets as lines of JSON."""
    names = sorted((" ".join(sorted(faults)), faults) for faults in sets)
    head = json.dumps({"checks": table.checks, "sets": [name for name, _ in names]}, separators=(",", ":"))
    return "\n".join([head, *(table.line(faults) for _, faults in names)]).encode()


def from_bytes(data: bytes | None) -> SolvedTable | None:
    """Return the values that `to_bytes` made lines of; None if there are none, or it made other lines."""
    try:
        first, *lines = (data or b"").split(b"\n")
        kept = json.loads(first)
        sets = [frozenset(filter(None, faults.split(" "))) for faults in kept["sets"]]
        return SolvedTable(tuple(kept["checks"]), dict(zip(sets, lines, strict=True)))
    except (ValueError, KeyError, TypeError, AttributeError):
        return None
