"""The store: all jobs of a user in one SQLite file, one transaction per answer.

What `Store.append` has returned is on the disk: the file is kept in WAL mode with `synchronous=FULL`, or, where WAL is
refused (a network share), with a rollback journal and `synchronous=EXTRA`. Both survive the process being killed at
any moment; both ask the disk to sync before a commit returns. Everything that can go wrong is a `StoreTrouble`.
"""

from __future__ import annotations

import sqlite3
import time
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Self

from coldiron.jobs.health import end_of_chain, looked_at, set_aside
from coldiron.jobs.home import prepare
from coldiron.jobs.log import Entry, Event, Job
from coldiron.jobs.schema import migrate
from coldiron.jobs.sqlite_errors import ERRORS, from_sqlite
from coldiron.jobs.sums import Health, chained, sum_of
from coldiron.jobs.trouble import Conflict, JobDamage, StoreTrouble, trouble

WAIT = 2.0
"""Seconds to wait for another process's transaction before the file counts as locked."""

SMALLEST = 512
"""Bytes of the smallest database there can be; SQLite takes anything shorter for an empty one."""

Connect = Callable[[Path, float], sqlite3.Connection]
"""Opens the database file: (path, seconds to wait for a lock). Tests put one here that fails at a chosen moment."""

_JOBS = """
    SELECT job.id, name, book, version, created,
        coalesce((SELECT at FROM event WHERE event.job = job.id ORDER BY seq DESC LIMIT 1), created),
        (SELECT count(*) FROM event WHERE event.job = job.id), status, summary, remark
    FROM job
"""

_TOUCHED = "(SELECT coalesce(max(touched), 0) + 1 FROM job)"
"""The next number of the file: it goes up with every answer, whatever the clock does."""


def connect(path: Path, wait: float) -> sqlite3.Connection:
    """A connection in which transactions begin and end only where the store says so."""
    return sqlite3.connect(path, timeout=wait, isolation_level=None)


def now() -> str:
    """The present moment as logs have it: UTC, ISO 8601, to the second."""
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())


def open_store(path: Path | None = None, *, wait: float = WAIT, connect: Connect = connect) -> Store:
    """Open the job file in a folder, making both where they are missing.

    Args:
        path: the job file; None for the user's own, in COLDIRON_HOME or else the user's data folder.
        wait: seconds to wait for another process's transaction.
        connect: opens the database.

    Raises:
        StoreTrouble: the file cannot be had, is damaged, another program's, or a later version's.
    """
    file = prepare(path)
    _recognise(file)
    connection = None
    try:
        connection = connect(file, wait)
        _settle(connection)
        migrate(connection, str(file))
        _look_through(connection, file)
    except ERRORS as error:
        _quietly_close(connection)
        raise from_sqlite(error, str(file)) from error
    except StoreTrouble:
        _quietly_close(connection)
        raise
    return Store(file, connection)


def _recognise(file: Path) -> None:
    """Refuse what SQLite would silently overwrite: a stump of a file, or an emptied one whose latest changes remain."""
    try:
        size = file.stat().st_size
        unsettled = file.with_name(f"{file.name}-wal")
        if 0 < size < SMALLEST or (size == 0 and unsettled.exists() and unsettled.stat().st_size):
            raise trouble("damaged", str(file))
    except OSError as error:
        raise trouble("failed", str(file)) from error


def _quietly_close(connection: sqlite3.Connection | None) -> None:
    if connection is not None:
        try:
            connection.close()
        except sqlite3.Error:
            return


def _settle(connection: sqlite3.Connection) -> None:
    """Choose how commits reach the disk, the strictest way the file's place allows."""
    mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    if mode == "wal":
        connection.execute("PRAGMA synchronous = FULL")
    else:
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA synchronous = EXTRA")
    connection.execute("PRAGMA foreign_keys = ON")


def _look_through(connection: sqlite3.Connection, file: Path) -> None:
    """Refuse a damaged file before anything is read from it or added to it. A thousand jobs take about 10 ms."""
    if connection.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
        raise trouble("damaged", str(file))


class Store:
    """The jobs of a user. Made by `open_store`; use it in a `with`, or call `close`.

    Every method raises `StoreTrouble` when it cannot do what it says; what was stored before is then still there.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def __repr__(self) -> str:
        return f"<Store {self.path}>"

    def close(self) -> None:
        """Let go of the file. Nothing is lost by not calling this."""
        _quietly_close(self._connection)

    @contextmanager
    def _told(self) -> Iterator[sqlite3.Connection]:
        """Turn SQLite's errors into troubles, and undo a transaction that did not reach its end."""
        try:
            yield self._connection
        except ERRORS as error:
            self._undo()
            raise from_sqlite(error, str(self.path)) from error
        except BaseException:
            self._undo()
            raise

    def _undo(self) -> None:
        try:
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
        except sqlite3.Error:
            # Closing lets go of the lock, and the next opening undoes what was begun.
            _quietly_close(self._connection)

    @contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        with self._told() as connection:
            connection.execute("BEGIN IMMEDIATE")
            yield connection
            connection.execute("COMMIT")

    def create(self, name: str, book_hash: str, version: str) -> Job:
        """Begin a job with an empty log."""
        at = now()
        with self._transaction() as connection:
            cursor = connection.execute(
                "INSERT INTO job (name, book, version, created) VALUES (?, ?, ?, ?)",
                _stored(name, book_hash, version, at),
            )
            number = cursor.lastrowid or 0
            connection.execute(
                f"UPDATE job SET head = ?, remark = ?, touched = {_TOUCHED} WHERE id = ?",  # noqa: S608 - no text of others
                (sum_of(b"", number, name, book_hash, version, at), sum_of(b"", number, "", ""), number),
            )
        return Job(number, name, book_hash, version, at, at, 0, "", "")

    def append(self, job_id: int, expected_seq: int, kind: str, id: str, value: str) -> Event:  # noqa: A002 - it is the record's word
        """Add one entry to a log; returns only after the commit.

        Args:
            job_id: the job.
            expected_seq: the sequence number the log ends with as far as the caller knows (0 when it is empty).
            kind: what sort of answer, see `Entry`.
            id: to what.
            value: the raw text.

        Raises:
            Conflict: the log ends elsewhere; nothing was added.
            StoreTrouble: it could not be committed.
        """
        return self.append_all(job_id, expected_seq, (Entry(kind, id, value),))[0]

    def append_all(self, job_id: int, expected_seq: int, entries: Sequence[Entry]) -> tuple[Event, ...]:
        """Add several entries in one transaction, all or none; otherwise as `append`."""
        at = now()
        events = tuple(Event(expected_seq + step, *entry, at) for step, entry in enumerate(entries, start=1))
        with self._transaction() as connection:
            latest = self._latest(connection, job_id)
            if latest != expected_seq:
                raise Conflict(latest, entries)
            texts = [_stored(*event[1:]) for event in events]
            rows = [(event.seq, *text) for event, text in zip(events, texts, strict=True)]
            sums = chained(end_of_chain(connection, job_id), rows)
            connection.executemany(
                "INSERT INTO event (job, seq, kind, id, value, at, sum) VALUES (?, ?, ?, ?, ?, ?, ?)",
                [(job_id, *row, own) for row, own in zip(rows, sums, strict=True)],
            )
            connection.execute(
                f"UPDATE job SET entries = ?, touched = {_TOUCHED} WHERE id = ?",  # noqa: S608 - no text of others
                (expected_seq + len(events), job_id),
            )
        return events

    def _latest(self, connection: sqlite3.Connection, job_id: int) -> int:
        row = connection.execute(
            "SELECT (SELECT max(seq) FROM event WHERE job = job.id) FROM job WHERE id = ?", (job_id,)
        ).fetchone()
        if row is None:
            raise _missing(job_id)
        return row[0] or 0

    def events(self, job_id: int) -> tuple[Event, ...]:
        """The whole log of a job, in order.

        Raises:
            Damage: something of it is not as it was written; it is told where, and what is still sound.
        """
        with self._told() as connection:
            health, rows = looked_at(connection, job_id)
        if health is None:
            raise _missing(job_id)
        if not health.whole:
            raise JobDamage(job_id, str(self.path), health)
        return tuple(Event(*row) for row in rows)

    def sound_events(self, job_id: int) -> tuple[Event, ...]:
        """The entries of a job from the first on that are as they were written."""
        with self._told() as connection:
            health, rows = looked_at(connection, job_id)
        return tuple(Event(*row) for row in rows[: health.sound]) if health else ()

    def health(self, job_id: int) -> Health:
        """What of a job is as it was written."""
        with self._told() as connection:
            health, _ = looked_at(connection, job_id)
        if health is None:
            raise _missing(job_id)
        return health

    def keep_sound(self, job_id: int) -> tuple[Event, ...]:
        """Let a damaged job go on with its sound entries; give what is set aside, which is kept beside the log."""
        with self._transaction() as connection:
            rows = set_aside(connection, job_id, now())
        return tuple(Event(*row) for row in rows if isinstance(row[0], int) and _texts(row[1:]))

    def job(self, job_id: int) -> Job:
        """One job."""
        with self._told() as connection:
            row = connection.execute(f"{_JOBS} WHERE job.id = ?", (job_id,)).fetchone()
        if row is None:
            raise _missing(job_id)
        return self._job(row)

    def picked(self, job_id: int | None) -> Job:
        """One job; without a number the one with answers that was last worked on."""
        if job_id is not None:
            return self.job(job_id)
        answered = [job for job in self.jobs() if job.answers]
        if not answered:
            raise StoreTrouble("missing", "There is no job to go on with.", "Start one with: coldiron find")
        return answered[0]

    def _job(self, row: tuple[Any, ...]) -> Job:
        *known, remark = row
        job = Job(*known)
        if not _texts((*job[1:6], *job[7:])):
            raise trouble("damaged", str(self.path))
        if remark != sum_of(b"", job.id, job.status, job.summary):
            return job._replace(status="", summary="(what stood here is damaged)")
        return job

    def jobs(self) -> tuple[Job, ...]:
        """All jobs, the one last worked on first."""
        with self._told() as connection:
            rows = connection.execute(f"{_JOBS} ORDER BY touched DESC, job.id DESC").fetchall()
        return tuple(self._job(row) for row in rows)

    def notes(self, name: str, besides: int = 0) -> tuple[str, ...]:
        """What was noted on the jobs of one machine, the oldest first, each text once.

        Args:
            name: what the machine is called; capitals and blanks make no other machine of it.
            besides: a job whose notes are left out.
        """
        with self._told() as connection:
            rows = connection.execute("SELECT id, name FROM job ORDER BY id").fetchall()
        same = [number for number, called in rows if number != besides and _same_name(str(called), name)]
        found = (event.value for number in same for event in self.sound_events(number) if event.kind == "note")
        return tuple(dict.fromkeys(found))

    def of_machine(self, name: str, besides: int = 0) -> tuple[int, ...]:
        """The numbers of the jobs of one machine that have answers, the one last worked on first.

        Args:
            name: what the machine is called; capitals and blanks make no other machine of it.
            besides: a job that is left out.
        """
        found = (job for job in self.jobs() if job.answers and job.id != besides)
        return tuple(job.id for job in found if _same_name(job.name, name))

    def remark(self, job_id: int, status: str, summary: str) -> None:
        """Set what the list of jobs says of a job. A remark only: nothing is computed from it."""
        with self._transaction() as connection:
            cursor = connection.execute(
                "UPDATE job SET status = ?, summary = ?, remark = ? WHERE id = ?",
                (*_stored(status, summary), sum_of(b"", job_id, status, summary), job_id),
            )
            if not cursor.rowcount:
                raise _missing(job_id)

    def keep_book(self, book_hash: str, text: str) -> None:
        """Keep the text of a book under its hash, once, so that an old job can be compared with a newer book."""
        if self._has_book(book_hash):
            return
        packed = zlib.compress(_stored(text)[0].encode())
        with self._transaction() as connection:
            connection.execute("INSERT OR IGNORE INTO book (hash, text) VALUES (?, ?)", (book_hash, packed))

    def _has_book(self, book_hash: str) -> bool:
        with self._told() as connection:
            return connection.execute("SELECT 1 FROM book WHERE hash = ?", (book_hash,)).fetchone() is not None

    def book(self, book_hash: str) -> str | None:
        """The text kept under a hash, or None."""
        with self._told() as connection:
            row = connection.execute("SELECT text FROM book WHERE hash = ?", (book_hash,)).fetchone()
        if row is None:
            return None
        try:
            return zlib.decompress(row[0]).decode()
        except (zlib.error, UnicodeDecodeError, TypeError) as error:
            raise trouble("damaged", str(self.path)) from error


def _texts(values: Sequence[Any]) -> bool:
    """Whether what was stored as text still is; SQLite would hand out whatever a damaged record looks like."""
    return all(isinstance(value, str) for value in values)


def _same_name(one: str, other: str) -> bool:
    return one.casefold().split() == other.casefold().split()


def _missing(job_id: int) -> StoreTrouble:
    return StoreTrouble("missing", f"There is no job {job_id}.", "`coldiron jobs` lists the jobs there are.")


def _stored(*texts: str) -> tuple[str, ...]:
    """The texts, refused where they hold what no file can (halves of surrogate pairs)."""
    for text in texts:
        if any("\ud800" <= character <= "\udfff" for character in text):
            raise StoreTrouble("text", "What was entered holds characters that cannot be saved.", "Type it again.")
    return texts
