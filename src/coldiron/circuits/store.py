"""Solved values kept in a file between runs, by book, circuit and the version of this package's electrical model."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path

MODEL = 2
"""Raise it whenever a solved value may come out differently: kept values of older numbers are not used."""

Values = tuple[float, ...]
Table = dict[frozenset[str], dict[str, Values]]


def path_for(folder: Path, book_hash: str, circuit: str) -> Path:
    """Where the values of a circuit of a book are kept."""
    return folder / f"solved-{MODEL}-{circuit}-{book_hash[:32]}.json"


def load(path: Path) -> Table | None:
    """The kept values, by set of faults and check; None if there are none or the file is not what we wrote."""
    try:
        with path.open(encoding="utf-8") as file:
            kept = json.load(file)
        checks: list[str] = kept["checks"]
        return {
            frozenset(filter(None, faults.split(" "))): {
                check: tuple(row) for check, row in zip(checks, rows, strict=True) if row
            }
            for faults, rows in kept["values"].items()
        }
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def save(path: Path, checks: tuple[str, ...], table: Mapping[frozenset[str], Mapping[str, Values]]) -> bool:
    """Keep values; False if they cannot be written, which costs time at the next start and nothing else."""
    values = {
        " ".join(sorted(faults)): [list(rows.get(check, ())) for check in checks]
        for faults, rows in sorted(table.items(), key=lambda item: (len(item[0]), sorted(item[0])))
    }
    spare = path.with_suffix(f".{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with spare.open("w", encoding="utf-8") as file:
            json.dump({"checks": list(checks), "values": values}, file, separators=(",", ":"))
        spare.replace(path)
    except OSError:
        return False
    return True
