"""The tables of the job file, and the steps by which an older file becomes a present one.

The first bytes of the file tell that it is ours (`application_id`), `user_version` tells which of the steps it has had.
Each step and its number are one transaction, so a file is never between two versions.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from coldiron.jobs.sums import chained, sum_of
from coldiron.jobs.trouble import StoreTrouble, trouble

APPLICATION = 0x434F_4C44
"""`COLD` in ASCII."""

Statement = str | Callable[[sqlite3.Connection], None]


def _summed(connection: sqlite3.Connection) -> None:
    """Give every entry of a file that had none its checksum, as it stands: nothing is lost, nothing is judged."""
    jobs = connection.execute("SELECT id, name, book, version, created, status, summary FROM job").fetchall()
    for number, name, book, version, created, status, summary in jobs:
        rows = connection.execute(
            "SELECT seq, kind, id, value, at FROM event WHERE job = ? ORDER BY seq", (number,)
        ).fetchall()
        head = sum_of(b"", number, name, book, version, created)
        sums = chained(head, rows)
        connection.executemany(
            "UPDATE event SET sum = ? WHERE job = ? AND seq = ?",
            [(own, number, row[0]) for own, row in zip(sums, rows, strict=True)],
        )
        connection.execute(
            "UPDATE job SET head = ?, entries = ?, remark = ? WHERE id = ?",
            (head, len(rows), sum_of(b"", number, status, summary), number),
        )


MIGRATIONS: tuple[tuple[Statement, ...], ...] = (
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
    (
        "ALTER TABLE event ADD COLUMN sum BLOB NOT NULL DEFAULT x''",
        "ALTER TABLE job ADD COLUMN head BLOB NOT NULL DEFAULT x''",
        "ALTER TABLE job ADD COLUMN entries INTEGER NOT NULL DEFAULT 0",
        "ALTER TABLE job ADD COLUMN remark BLOB NOT NULL DEFAULT x''",
        "ALTER TABLE job ADD COLUMN touched INTEGER NOT NULL DEFAULT 0",
        """CREATE TABLE aside (
            job INTEGER NOT NULL,
            seq INTEGER,
            kind TEXT,
            id TEXT,
            value TEXT,
            at TEXT,
            sum BLOB,
            moved TEXT NOT NULL
        )""",
        """UPDATE job SET touched = (
            SELECT count(*) FROM
                (SELECT job.id AS number, coalesce(max(event.at), created) AS latest
                 FROM job LEFT JOIN event ON event.job = job.id GROUP BY job.id) AS other,
                (SELECT coalesce(max(event.at), job.created) AS latest FROM event WHERE event.job = job.id) AS own
            WHERE (other.latest, other.number) <= (own.latest, job.id)
        )""",
        _summed,
    ),
)
"""Step k takes a file from version k to k + 1. Steps are only ever added.

Of a job: `head` is the sum over what it was begun with, `entries` how many entries it has, `remark` the sum over what
the list says of it, `touched` grows by one in the whole file with each answer, so that no clock orders the jobs. In
`aside` stands what was damaged, or came after what was, once a job has been gone on with without it.
"""


def _pragma(connection: sqlite3.Connection, name: str) -> int:
    return int(connection.execute(f"PRAGMA {name}").fetchone()[0])


def _refuse_foreign(connection: sqlite3.Connection, path: str) -> None:
    """A database that holds something but is not marked as ours is left alone."""
    if _pragma(connection, "application_id") == APPLICATION:
        return
    if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        raise StoreTrouble("foreign", f"{path} is a database of some other program.", "Move it away, or name another.")


def migrate(
    connection: sqlite3.Connection, path: str, migrations: tuple[tuple[Statement, ...], ...] = MIGRATIONS
) -> None:
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
                statement(connection) if callable(statement) else connection.execute(statement)
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
