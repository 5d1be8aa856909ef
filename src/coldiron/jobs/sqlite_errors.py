"""How SQLite's complaints are told apart."""

from __future__ import annotations

import sqlite3

from coldiron.jobs.trouble import StoreTrouble, TroubleKind, trouble

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

ERRORS = (sqlite3.Error, UnicodeDecodeError)
"""What sqlite3 raises for trouble with a file. It cannot even word some errors about text that is no text any more."""


def from_sqlite(error: Exception, path: str) -> StoreTrouble:
    """What one of `ERRORS` means. Extended codes carry the plain code in their low byte."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is not None:
        return trouble(_CODES.get(code & 0xFF, "failed"), path)
    # Python itself raises these, without a code, for stored text that is no text any more.
    return trouble("damaged" if isinstance(error, sqlite3.OperationalError | UnicodeDecodeError) else "failed", path)
