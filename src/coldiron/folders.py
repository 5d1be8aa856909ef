"""Where a system keeps the data and the caches of a program; its library takes 11 ms and is loaded only for this."""

from __future__ import annotations

import os


def data_folder() -> str:
    """The folder for what must last."""
    return _folders()[0]


def home_folder() -> str:
    """The folder of what the user keeps: COLDIRON_HOME, or else where the system keeps a program's data."""
    return os.environ.get("COLDIRON_HOME") or data_folder()


def cache_folder() -> str:
    """The folder for what can be made again."""
    return _folders()[1]


def _folders() -> tuple[str, str]:
    import platformdirs  # noqa: PLC0415 - see the module

    return platformdirs.user_data_dir("coldiron", appauthor=False), platformdirs.user_cache_dir("coldiron")
