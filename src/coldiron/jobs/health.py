"""The entries of a job held against their checksums, and a damaged job cut back to what is sound of it."""

from __future__ import annotations

import sqlite3
from typing import Any

from coldiron.jobs.sums import Health, chained, examined, sum_of

Rows = list[tuple[Any, ...]]


def end_of_chain(connection: sqlite3.Connection, job: int) -> bytes:
    """The sum that the next entry of a job follows on."""
    row = connection.execute("SELECT sum FROM event WHERE job = ? ORDER BY seq DESC LIMIT 1", (job,)).fetchone()
    if row is None:
        row = connection.execute("SELECT head FROM job WHERE id = ?", (job,)).fetchone()
    return bytes(row[0]) if row and isinstance(row[0], bytes) else b""


def looked_at(connection: sqlite3.Connection, job: int) -> tuple[Health | None, Rows]:
    """What of a job is sound, and its entries (number, kind, id, value, time); nothing where there is no such job."""
    known = connection.execute(
        "SELECT id, name, book, version, created, head, entries FROM job WHERE id = ?", (job,)
    ).fetchone()
    found = connection.execute(
        "SELECT seq, kind, id, value, at, sum FROM event WHERE job = ? ORDER BY seq", (job,)
    ).fetchall()
    rows = [row[:5] for row in found]
    if known is None:
        return None, rows
    head = sum_of(b"", *known[:5])
    end = known[6] if isinstance(known[6], int) else len(rows)
    return examined(head, known[5], rows, [row[5] for row in found], end), rows


def set_aside(connection: sqlite3.Connection, job: int, at: str) -> Rows:
    """Move the entries from the first damaged one on out of the log, and chain anew what is left; in a transaction."""
    health, rows = looked_at(connection, job)
    if health is None or health.whole:
        return []
    left, gone = rows[: health.sound], rows[health.sound :]
    connection.execute(
        "INSERT INTO aside SELECT job, seq, kind, id, value, at, sum, ? FROM event WHERE job = ?", (at, job)
    )
    connection.execute("DELETE FROM event WHERE job = ?", (job,))
    known = connection.execute("SELECT id, name, book, version, created FROM job WHERE id = ?", (job,)).fetchone()
    head = sum_of(b"", *known)
    sums = chained(head, left)
    connection.executemany(
        "INSERT INTO event (job, seq, kind, id, value, at, sum) VALUES (?, ?, ?, ?, ?, ?, ?)",
        [(job, *row, own) for row, own in zip(left, sums, strict=True)],
    )
    connection.execute("UPDATE job SET head = ?, entries = ? WHERE id = ?", (head, len(left), job))
    return gone
