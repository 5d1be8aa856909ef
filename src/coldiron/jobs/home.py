"""Where the job file is, and making its folder and itself for the user's eyes only."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from coldiron.folders import home_folder
from coldiron.jobs.trouble import StoreTrouble, trouble

FILE = "jobs.sqlite3"


def home() -> Path:
    """The folder of the user's jobs, and of all else that is his."""
    return Path(home_folder())


def prepare(path: Path | None) -> Path:
    """The job file, made if missing: folder 0700, file 0600. SQLite gives its side files the same mode.

    Raises:
        StoreTrouble: `read_only`, or `full` where no more can be made.
    """
    file = path if path is not None else home() / FILE
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(file, os.O_RDWR | os.O_CREAT, 0o600))
    except OSError as error:
        raise _trouble(error, file) from error
    return file


def _trouble(error: OSError, file: Path) -> StoreTrouble:
    return trouble("full" if error.errno in (errno.ENOSPC, errno.EDQUOT) else "read_only", str(file))
