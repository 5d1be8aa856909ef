"""Books and syntax trees kept between runs, as JSON in the user's cache folder.

The name of a cache file is a hash of what it was made from and of this program; its first line is a hash of the rest.
So a file that is old, cut short or damaged is never believed: it is made again. A folder that cannot be written costs
time, nothing else.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coldiron import __version__
from coldiron.folders import cache_folder
from coldiron.language import codec

MOST_KEPT = {"book": 8, "tree": 400}
"""How many cache files of each sort stay; the oldest go first."""


def code_stamp() -> str:
    """Return a text that changes with this program: its version, and size and time of the files that make a book."""
    package = Path(__file__).resolve().parents[1]
    marks = [__version__]
    for folder in (package, package / "language", package / "language" / "build", package / "mistakes"):
        try:
            with os.scandir(folder) as entries:
                found = [(entry.name, entry.stat()) for entry in entries if entry.name.endswith(".py")]
        except OSError:
            continue
        marks += [f"{name} {stat.st_size} {stat.st_mtime_ns}" for name, stat in sorted(found, key=lambda one: one[0])]
    return "\n".join(marks)


def key(stamp: str, *parts: bytes) -> str:
    """Return the name under which something made from these parts is kept."""
    digest = hashlib.sha256(stamp.encode())
    for part in parts:
        digest.update(b"%d\0" % len(part))
        digest.update(part)
    return digest.hexdigest()[:40]


def get(sort: str, name: str, decode: Callable[[Any], Any]) -> Any:
    """Return what is kept under a name, or nothing if there is none or it is damaged."""
    try:
        data = (cache_folder() / f"{sort}-{name}.json").read_bytes()
        check, _, payload = data.partition(b"\n")
        if hashlib.sha256(payload).hexdigest().encode() != check:
            return None
        return decode(json.loads(payload))
    except (OSError, ValueError, TypeError, LookupError, AttributeError, RecursionError):
        return None


def put(sort: str, name: str, value: Any) -> None:
    """Keep a value under a name: written beside it first, then moved there in one step."""
    payload = json.dumps(codec.encode(value), separators=(",", ":")).encode()
    folder = cache_folder()
    path = folder / f"{sort}-{name}.json"
    beside = folder / f"{path.name}.{os.getpid()}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        beside.write_bytes(hashlib.sha256(payload).hexdigest().encode() + b"\n" + payload)
        beside.replace(path)
    except OSError:
        return
    _prune(folder, sort)


def _prune(folder: Path, sort: str) -> None:
    """Drop the oldest files of one sort, and what a stopped run left half written."""
    try:
        found = sorted(folder.glob(f"{sort}-*.json*"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
        for path in found[MOST_KEPT[sort] :]:
            path.unlink(missing_ok=True)
    except OSError:
        return
