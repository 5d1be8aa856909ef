"""What can go wrong with the store, as one exception, and how SQLite's complaints are told apart."""

from __future__ import annotations

import sqlite3
from typing import Literal

TroubleKind = Literal[
    "full", "read_only", "locked", "damaged", "foreign", "newer", "conflict", "missing", "text", "failed"
]


class StoreTrouble(Exception):  # noqa: N818 - it is no mistake of the program's
    """The store could not do what was asked; what it held before is still there.

    `sentence` says what is wrong in plain words, `suggestion` what to do about it. The commands end with exit code 5.
    """

    def __init__(self, kind: TroubleKind, sentence: str, suggestion: str) -> None:
        super().__init__(f"{sentence} {suggestion}".strip())
        self.kind = kind
        self.sentence = sentence
        self.suggestion = suggestion


class Conflict(StoreTrouble):
    """Another process has added to the same log meanwhile. `latest` is the sequence number the log now ends with."""

    def __init__(self, latest: int) -> None:
        super().__init__(
            "conflict",
            "This job has been answered in another window meanwhile.",
            "Nothing of yours was saved twice. Close one of the two and resume the job.",
        )
        self.latest = latest


_SENTENCES: dict[TroubleKind, tuple[str, str]] = {
    "full": (
        "There is no room left to save to {path}.",
        "Free some space and resume the job; all earlier answers are kept.",
    ),
    "read_only": (
        "{path} cannot be written.",
        "Check who owns the file and its folder, or set COLDIRON_HOME to a folder that can be written.",
    ),
    "locked": (
        "{path} is held by another program.",
        "Close the other window, or wait for it to finish, and try again.",
    ),
    "damaged": (
        "{path} is damaged.",
        "It has been left as it is. Copy it away before anything else, then set COLDIRON_HOME to a new folder.",
    ),
    "failed": (
        "{path} could not be read or written.",
        "Check the disk. All answers shown as saved before are kept.",
    ),
}

_CODES: dict[int, TroubleKind] = {
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_READONLY: "read_only",
    sqlite3.SQLITE_PERM: "read_only",
    sqlite3.SQLITE_CANTOPEN: "read_only",
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "damaged",
    sqlite3.SQLITE_ERROR: "damaged",  # a table or column of ours is not there
}


def trouble(kind: TroubleKind, path: str) -> StoreTrouble:
    """The trouble of this kind with the file at `path`."""
    sentence, suggestion = _SENTENCES[kind]
    return StoreTrouble(kind, sentence.format(path=path), suggestion)


ERRORS = (sqlite3.Error, UnicodeDecodeError)
"""What sqlite3 raises for trouble with a file. It cannot even word some errors about text that is no text any more."""


def from_sqlite(error: Exception, path: str) -> StoreTrouble:
    """What one of `ERRORS` means. Extended codes carry the plain code in their low byte."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is not None:
        return trouble(_CODES.get(code & 0xFF, "failed"), path)
    # Python itself raises these, without a code, for stored text that is no text any more.
    return trouble("damaged" if isinstance(error, sqlite3.OperationalError | UnicodeDecodeError) else "failed", path)
