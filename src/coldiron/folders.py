"""Where a system keeps the data and the caches of a program.

Linux follows the XDG base directory specification here; elsewhere platformdirs knows (11 ms: imported there only).
"""

from __future__ import annotations

import os
import sys


def data_folder() -> str:
    """The folder for what must last."""
    return _of_linux("XDG_DATA_HOME", "~/.local/share") or _folders()[0]


def home_folder() -> str:
    """The folder of what the user keeps: COLDIRON_HOME, or else where the system keeps a program's data."""
    return os.environ.get("COLDIRON_HOME") or data_folder()


def cache_folder() -> str:
    """The folder for what can be made again."""
    return _of_linux("XDG_CACHE_HOME", "~/.cache") or _folders()[1]


def _of_linux(variable: str, usual: str) -> str:
    """The folder that a variable of the user names, or else the usual one; empty on other systems."""
    if not sys.platform.startswith("linux"):
        return ""
    base = os.environ.get(variable, "")
    return os.path.join(base if base.startswith("/") else os.path.expanduser(usual), "coldiron")


def _folders() -> tuple[str, str]:
    import platformdirs  # noqa: PLC0415 - see the module

    return platformdirs.user_data_dir("coldiron", appauthor=False), platformdirs.user_cache_dir("coldiron")
