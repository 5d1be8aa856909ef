"""Where this program keeps what it can make again: the user's cache folder.

Paths are plain texts here and wherever a book is loaded: `pathlib` costs 5 ms of a start of 50.
"""

from __future__ import annotations

import os
import sys


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
