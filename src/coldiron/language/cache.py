"""Bytes kept between runs in the user's cache folder.

The name of a cache file is a hash of what it was made from and of this program, and `coldiron.folders` seals what is in
it. So a file that is old, cut short or damaged is never believed: it is made again. A folder that cannot be written
costs time, nothing else.
"""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress

from coldiron import __version__
from coldiron.folders import cache_folder, prune, read_kept, write_kept

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

TEXT = ("", "language", "language/build", "mistakes")
"""The folders of this package whose code makes a syntax tree of a file: no audit has a say in it."""

FOLDERS = (*TEXT, "audit", "circuits", "consult", "diagnosis", "engine", "job", "readings", "ruling")
"""Those whose code says what a kept book is and what is wrong with it: its reading and its audit.

Whatever an audit comes to use belongs here too, or an older judgement would be believed; a test compares.
"""

MOST_KEPT = {"book": 8, "tree": 400, "seen": 16}
"""How many cache files of each sort stay; the oldest go first."""


def code_stamp(folders: Sequence[str] = FOLDERS) -> str:
    """Return a text that changes with this program: its version, and size and time of the code in some folders."""
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    marks = [__version__]
    for folder in folders:
        try:
            with os.scandir(os.path.join(package, folder)) as entries:
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


def get(sort: str, name: str) -> bytes | None:
    """Return what is kept under a name, or nothing if there is none or it is damaged."""
    return read_kept(os.path.join(cache_folder(), f"{sort}-{name}.json"))


def put(sort: str, name: str, payload: bytes) -> None:
    """Keep bytes under a name; the oldest of its sort go, and what a stopped run left half written with them."""
    folder = cache_folder()
    if write_kept(os.path.join(folder, f"{sort}-{name}.json"), payload):
        with suppress(OSError):
            prune(folder, f"{sort}-", MOST_KEPT[sort])
