"""Where this program keeps what it can make again: the user's cache folder.

A kept file's first line is a hash of the rest: one that is cut short, or of which a single bit has changed, is never
believed, whatever it would still say. It is made again.

Paths are plain texts here and wherever a book is loaded: `pathlib` costs 5 ms of a start of 50.
"""

from __future__ import annotations

import hashlib
import os
import stat
import sys
from contextlib import suppress

MOST_BYTES = 1 << 30
"""A kept file is never so large; what is was not written by this program."""


def cache_folder() -> str:
    """Return the cache folder; COLDIRON_CACHE overrides. It need not exist, and nothing in it need be trusted.

    Linux follows the XDG base directory specification here; elsewhere platformdirs knows (11 ms: imported there only).
    """
    if chosen := os.environ.get("COLDIRON_CACHE"):
        return chosen
    if sys.platform.startswith("linux"):
        base = os.environ.get("XDG_CACHE_HOME", "")
        return os.path.join(base if base.startswith("/") else os.path.expanduser("~/.cache"), "coldiron")
    import platformdirs  # noqa: PLC0415 - see above

    return platformdirs.user_cache_dir("coldiron")


def prune(folder: str, opening: str, most: int) -> None:
    """Drop the oldest files of a folder whose names open so, but for the newest `most`.

    Raises:
        OSError: the folder cannot be read, or a file in it not removed.
    """
    with os.scandir(folder) as entries:
        found = [(entry.stat().st_mtime_ns, entry.path) for entry in entries if entry.name.startswith(opening)]
    for _, path in sorted(found)[:-most]:
        os.unlink(path)


def read_kept(path: str | os.PathLike[str]) -> bytes | None:
    """Return what `write_kept` has kept in a file; nothing if there is none, or it is not as it was written."""
    plain_file = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)  # a pipe is not waited for
    try:
        with open(os.open(path, plain_file), "rb") as file:
            known = os.fstat(file.fileno())
            if not stat.S_ISREG(known.st_mode) or known.st_size > MOST_BYTES:
                return None
            check, _, payload = file.read().partition(b"\n")
    except (OSError, ValueError):
        return None
    return payload if hashlib.sha256(payload).hexdigest().encode() == check else None


def write_kept(path: str | os.PathLike[str], payload: bytes) -> bool:
    """Keep bytes in a file: written beside it first, then moved there in one step. False if it cannot be done."""
    whole = os.fspath(path)
    beside = f"{whole}.{os.getpid()}"
    try:
        os.makedirs(os.path.dirname(whole), exist_ok=True)
        with open(beside, "wb") as file:
            file.write(hashlib.sha256(payload).hexdigest().encode() + b"\n" + payload)
        os.replace(beside, whole)
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            os.unlink(beside)
        return False
    return True
