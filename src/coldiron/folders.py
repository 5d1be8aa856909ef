"""Where this program keeps what it can make again: the user's cache folder."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def cache_folder() -> Path:
    """Return the cache folder; COLDIRON_CACHE overrides. It need not exist, and nothing in it need be trusted.

    Linux follows the XDG base directory specification here; elsewhere platformdirs knows (11 ms, so imported there only).
    """
    if chosen := os.environ.get("COLDIRON_CACHE"):
        return Path(chosen)
    if sys.platform.startswith("linux"):
        base = os.environ.get("XDG_CACHE_HOME", "")
        return Path(base if base.startswith("/") else os.path.expanduser("~/.cache"), "coldiron")  # noqa: PTH111
    import platformdirs  # noqa: PLC0415 - see above

    return Path(platformdirs.user_cache_dir("coldiron"))
