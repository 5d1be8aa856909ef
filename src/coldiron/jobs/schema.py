"""The tables of the job file, and the steps by which an older file becomes a present one.

The first bytes of the file tell that it is ours (`application_id`), `user_version` tells which of the steps it has had.
Each step and its number are one transaction, so a file is never between two versions.
"""

from __future__ import annotations

import sqlite3

from coldiron.jobs.trouble import StoreTrouble, trouble

APPLICATION = 0x434F_4C44
"""`COLD` in ASCII."""

MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE book (
            hash TEXT PRIMARY KEY,
            text BLOB NOT NULL
        ) WITHOUT ROWID""",
        """CREATE TABLE job (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            name TEXT NOT NULL,
            book TEXT NOT NULL,
            version TEXT NOT NULL,
            created TEXT NOT NULL,
            status TEXT NOT NULL DEFAULT '',
            summary TEXT NOT NULL DEFAULT ''
        )""",
        """CREATE TABLE event (
            job INTEGER NOT NULL REFERENCES job (id),
            seq INTEGER NOT NULL,
            kind TEXT NOT NULL,
            id TEXT NOT NULL,
            value TEXT NOT NULL,
            at TEXT NOT NULL,
            PRIMARY KEY (job, seq)
        ) WITHOUT ROWID""",
    ),
)
"""Step k takes a file from version k to k + 1. Steps are only ever added."""


def _pragma(connection: sqlite3.Connection, name: str) -> int:
    return int(connection.execute(f"PRAGMA {name}").fetchone()[0])


def _refuse_foreign(connection: sqlite3.Connection, path: str) -> None:
    """A database that holds something but is not marked as ours is left alone."""
    if _pragma(connection, "application_id") == APPLICATION:
        return
    if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        raise StoreTrouble("foreign", f"{path} is a database of some other program.", "Move it away, or name another.")


def migrate(connection: sqlite3.Connection, path: str, migrations: tuple[tuple[str, ...], ...] = MIGRATIONS) -> None:
    """Bring the file up to the present version; an up-to-date file is not written to.

    Raises:
        StoreTrouble: the file is another program's (`foreign`) or a later version's (`newer`); it is left unchanged.
        sqlite3.Error: it cannot be read or written.
    """
    _refuse_foreign(connection, path)
    if _pragma(connection, "user_version") == len(migrations):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        # Read again under the lock: another process may have just done the work.
        for number in range(_known_version(connection, path, len(migrations)), len(migrations)):
            for statement in migrations[number]:
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        connection.execute(f"PRAGMA user_version = {len(migrations)}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _known_version(connection: sqlite3.Connection, path: str, present: int) -> int:
    version = _pragma(connection, "user_version")
    if version < 0:
        raise trouble("damaged", path)
    if version > present:
        raise StoreTrouble(
            "newer",
            f"{path} was written by a later version of coldiron.",
            "Update coldiron, or set COLDIRON_HOME to another folder.",
        )
    return version
