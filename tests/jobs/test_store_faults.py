"""Whatever the disk does, the store answers with a sentence, and what it had acknowledged is still there."""

from __future__ import annotations

import json
import os
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coldiron.jobs.log import Entry
from coldiron.jobs.store import Store, open_store
from coldiron.jobs.store import connect as usual_connect
from coldiron.jobs.trouble import StoreTrouble

BOOK = "".join(f"rule {number}\n" for number in range(4000))


SHARED = 32768
"""Bytes of SQLite's shared-memory file, which every opening makes at once."""


@pytest.fixture(name="path")
def _path(tmp_path: Path) -> Path:
    return tmp_path / "jobs"


def begun(path: Path, answers: int = 3) -> None:
    with open_store(path) as store:
        store.create("yellow loader", "hash", "0.1")
        for number in range(answers):
            store.append(1, number, "answer", "rest_volts", f"12.{number}")


def values(path: Path) -> list[str]:
    with open_store(path) as store:
        return [event.value for event in store.events(1)]


def raises(kind: str, action: Any) -> None:
    with pytest.raises(StoreTrouble) as caught:
        action()
    assert caught.value.kind == kind
    assert caught.value.sentence.endswith(".")
    assert caught.value.suggestion.endswith(".")


def test_no_room_left(path: Path) -> None:
    """When the file may not grow the answer is refused as `full`; with room again the same store goes on."""
    begun(path)
    with open_store(path) as store:
        pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
        store._connection.execute(f"PRAGMA max_page_count = {pages}")
        raises("full", lambda: store.append(1, 3, "note", "", "x" * 20000))
        assert len(store.events(1)) == 3
        store._connection.execute("PRAGMA max_page_count = 100000")
        store.append(1, 3, "note", "", "x" * 20000)
    assert len(values(path)) == 4


def test_a_disk_that_is_really_full(path: Path) -> None:
    """On a file system of 300 kB answers are taken until it is full, then refused, and all taken ones are there."""
    script = """
import json, sys
from pathlib import Path
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import StoreTrouble
taken, kind, path = 0, "", Path(sys.argv[1]) / "jobs"
try:
    with open_store(path) as store:
        store.create("full", "", "")
        for number in range(1000):
            store.append(1, number, "note", "", "x" * 3000)
            taken += 1
except StoreTrouble as trouble:
    kind = trouble.kind
with open_store(path) as store:
    print(json.dumps([kind, taken, len(store.events(1))]))
"""
    path.mkdir()
    mount = 'mount -t tmpfs -o size=300k tmpfs "$1" && exec "$2" -c "$3" "$1"'
    done = subprocess.run(
        ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c", mount, "sh", str(path), sys.executable, script],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode and "mount" in done.stderr + "unshare" * ("unshare" in done.stderr):
        pytest.skip(f"no small file system can be had here: {done.stderr.strip()}")
    assert done.stderr == ""
    kind, taken, kept = json.loads(done.stdout)
    assert (kind, taken) == ("full", kept)
    assert taken > 10


@contextmanager
def largest_file(size: int) -> Iterator[None]:
    """Make every write beyond so many bytes of a file fail, as a full or failing disk does."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def scenario(store: Store, acknowledged: list[str]) -> None:
    """Go on with job 1 as far as it goes."""
    seq = store.job(1).answers
    for number in range(6):
        entries = [Entry("answer", "", f"{seq}.{part} " + "x" * 900 * number) for part in range(1 + number % 2)]
        seq = store.append_all(1, seq, entries)[-1].seq
        acknowledged += [entry.value for entry in entries]
    store.keep_book("hash", BOOK)


def test_every_write_fails_once(tmp_path: Path) -> None:
    """Whichever write is the first to fail, in part or whole, all that was acknowledged is kept and nothing else."""
    kinds = set()
    for size in (0, 100, 5000, 20000, *range(SHARED, 300_000, 2060)):
        path = tmp_path / str(size)
        begun(path)
        acknowledged = values(path)
        try:
            with largest_file(size), open_store(path) as store:
                scenario(store, acknowledged)
        except StoreTrouble as trouble:
            kinds.add(trouble.kind)
        else:
            break
        assert values(path) == acknowledged
    else:
        pytest.fail("the scenario never ran to its end")
    assert size > SHARED + 10 * 2060
    assert kinds <= {"failed", "full", "read_only"}


class Failing(sqlite3.Connection):
    """Fails at the statement `at` (from 1): before it is done, or after, as when the news of it is lost."""

    at = 0
    after = False
    count = 0

    def execute(self, sql: str, *rest: Any) -> sqlite3.Cursor:
        return self._counted(super().execute, sql, *rest)

    def executemany(self, sql: str, *rest: Any) -> sqlite3.Cursor:
        return self._counted(super().executemany, sql, *rest)

    def _counted(self, done: Any, sql: str, *rest: Any) -> sqlite3.Cursor:
        type(self).count += 1
        fails = self.count == self.at
        result: sqlite3.Cursor | None = None
        if not fails or self.after:
            result = done(sql, *rest)
        if fails or result is None:
            error = sqlite3.OperationalError("disk I/O error")
            error.sqlite_errorcode = sqlite3.SQLITE_IOERR_WRITE
            raise error
        return result


@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
def test_every_statement_fails_once(tmp_path: Path, after: bool) -> None:  # noqa: FBT001
    """Whichever statement fails, acknowledged answers are kept, and at most the one under way is there besides."""
    Failing.after = after
    for at in range(1, 200):
        Failing.at, Failing.count = at, 0
        path = tmp_path / str(at)
        begun(path, 1)
        acknowledged = values(path)
        try:
            with open_store(
                path, connect=lambda file, wait: sqlite3.connect(file, wait, isolation_level=None, factory=Failing)
            ) as store:
                scenario(store, acknowledged)
        except StoreTrouble as trouble:
            assert trouble.kind == "failed"  # noqa: PT017 - whether it fails at all depends on `at`
        else:
            assert at > 20
            break
        kept = values(path)
        assert kept[: len(acknowledged)] == acknowledged
        assert len(kept) <= len(acknowledged) + 2 * after
        assert len(set(kept)) == len(kept)
    else:
        pytest.fail("the scenario never ran to its end")


def test_a_lock_held_by_another_program(path: Path) -> None:
    """While another holds the file answers are refused as `locked`; reading goes on, and later so does answering."""
    begun(path)
    other = sqlite3.connect(path, isolation_level=None)
    with open_store(path, wait=0.05) as store:
        other.execute("BEGIN IMMEDIATE")
        raises("locked", lambda: store.append(1, 3, "answer", "a", "b"))
        assert len(store.events(1)) == 3
        other.execute("ROLLBACK")
        store.append(1, 3, "answer", "a", "b")
    other.execute("PRAGMA locking_mode = EXCLUSIVE")
    other.execute("PRAGMA journal_mode = DELETE")
    other.execute("BEGIN EXCLUSIVE")
    raises("locked", lambda: open_store(path, wait=0.05))
    other.close()
    assert len(values(path)) == 4


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (b"this is no database, though it is long enough to be taken for one" * 99, "damaged"),
        (b"SQLite format 3\0" + b"\xff" * 5000, "damaged"),
        (b"\0" * 8192, "damaged"),
    ],
    ids=["text", "header only", "zeros"],
)
def test_a_file_that_is_no_database(path: Path, content: bytes, kind: str) -> None:
    """Rubbish is told apart and left exactly as it was."""
    path.write_bytes(content)
    raises(kind, lambda: open_store(path))
    assert path.read_bytes() == content


def test_another_programs_database(path: Path) -> None:
    """A database that is not ours is neither used nor changed."""
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE song (title)")
    other.close()
    before = path.read_bytes()
    raises("foreign", lambda: open_store(path))
    raises("foreign", lambda: open_store(path))
    assert sqlite3.connect(path).execute("SELECT name FROM sqlite_schema").fetchall() == [("song",)]
    assert len(path.read_bytes()) == len(before)


def test_truncated_files(path: Path) -> None:
    """Cut at any length, the file either gives what was in it or is told to be damaged, and is left as it was."""
    begun(path, 300)
    whole, expected = path.read_bytes(), values(path)
    for size in range(1, len(whole), 509):
        path.write_bytes(whole[:size])
        try:
            assert values(path) == expected
        except StoreTrouble as trouble:
            assert trouble.kind == "damaged"  # noqa: PT017 - a cut behind the data may be harmless
            assert path.read_bytes() == whole[:size]
    path.write_bytes(whole)
    assert values(path) == expected


def test_an_emptied_file_is_not_begun_anew(path: Path) -> None:
    """When the file has been emptied while its latest answers still lie beside it, it is not taken for a new one."""
    begun(path)
    with open_store(path) as store:
        store.append(1, 3, "note", "", "x")
        beside = path.with_name("jobs-wal").read_bytes()
    path.with_name("jobs-wal").write_bytes(beside)
    path.write_bytes(b"")
    raises("damaged", lambda: open_store(path))
    assert path.with_name("jobs-wal").read_bytes() == beside


@given(st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damaged_bytes_never_end_in_anything_but_trouble(path: Path, data: st.DataObject) -> None:
    """With bytes changed anywhere, everything the store can do either works or raises its one exception."""
    template = path.with_name("template")
    if not template.exists():
        begun(template, 60)
    content = bytearray(template.read_bytes())
    for place, byte in data.draw(
        st.lists(st.tuples(st.integers(0, len(content) - 1), st.integers(0, 255)), max_size=9)
    ):
        content[place] = byte
    for file in path.parent.glob("jobs*"):
        file.unlink()
    path.write_bytes(content)
    try:
        with open_store(path, wait=0) as store:
            for job in store.jobs():
                events = store.events(job.id)
                assert all(isinstance(text, str) for event in events for text in event[1:])
                store.append(job.id, len(events), "a", "b", "c")
            store.book("hash")
    except StoreTrouble as trouble:
        assert trouble.sentence  # noqa: PT017 - most damage is harmless or found
    except sqlite3.Error as error:
        pytest.fail(f"not translated: {error!r}")


def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    """A folder in the place of the file, a file in the place of the folder."""
    (tmp_path / "folder").mkdir()
    raises("read_only", lambda: open_store(tmp_path / "folder"))
    (tmp_path / "file").write_text("")
    raises("read_only", lambda: open_store(tmp_path / "file" / "jobs"))


AS_ANOTHER = """
import json, os, sys
from pathlib import Path
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import StoreTrouble
if os.geteuid() == 0:
    os.setgroups([])
    os.setresgid(65534, 65534, 65534)
    os.setresuid(65534, 65534, 65534)
kinds = []
for path in sys.argv[1:]:
    try:
        with open_store(Path(path)) as store:
            store.append(1, 3, "answer", "a", "b")
        kinds.append("")
    except StoreTrouble as trouble:
        kinds.append(trouble.kind)
print(json.dumps(kinds))
"""


def test_read_only_places() -> None:
    """A read-only folder without a file, one with a file, a read-only file: each is told, and the jobs are there."""
    folder = Path(tempfile.mkdtemp())
    try:
        folder.chmod(0o755)
        paths = [folder / "empty" / "jobs", folder / "kept" / "jobs", folder / "open" / "jobs"]
        for path in paths:
            path.parent.mkdir()
        begun(paths[1])
        begun(paths[2])
        for path in paths[1:]:
            path.chmod(0o444)
        paths[2].parent.chmod(0o777)
        for path in paths[:2]:
            path.parent.chmod(0o555)
        done = subprocess.run(
            [sys.executable, "-c", AS_ANOTHER, *map(str, paths)], capture_output=True, text=True, check=True
        )
        assert json.loads(done.stdout) == ["read_only"] * 3
        for path in paths:
            path.parent.chmod(0o755)
        for path in paths[1:]:
            path.chmod(0o600)
            assert values(path) == ["12.0", "12.1", "12.2"]
    finally:
        shutil.rmtree(folder)


def test_a_store_that_cannot_even_undo_lets_go(path: Path) -> None:
    """When a transaction can be neither ended nor undone the file is closed, so that the lock is gone."""
    begun(path)

    class Stuck(sqlite3.Connection):
        def execute(self, sql: str, *rest: Any) -> sqlite3.Cursor:
            if sql in ("COMMIT", "ROLLBACK"):
                raise sqlite3.OperationalError("disk I/O error")
            return super().execute(sql, *rest)

    store = open_store(path, connect=lambda file, _: sqlite3.connect(file, isolation_level=None, factory=Stuck))
    with pytest.raises(StoreTrouble):
        store.append(1, 3, "answer", "a", "b")
    with open_store(path, wait=0, connect=usual_connect) as other:
        other.append(1, 3, "answer", "a", "c")
    assert values(path)[3:] == ["c"]


@pytest.mark.parametrize("arguments", [["jobs"], ["resume", "--plain"]])
def test_the_command_says_it_in_a_sentence(path: Path, arguments: list[str]) -> None:
    """The command ends with exit code 5, a sentence and no traceback."""
    pytest.importorskip("coldiron.cli")
    path.mkdir()
    (path / "jobs.sqlite3").write_bytes(b"rubbish " * 1000)
    done = subprocess.run(
        [sys.executable, "-m", "coldiron.cli", *arguments],
        env={**os.environ, "COLDIRON_HOME": str(path)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 5
    assert "is damaged." in done.stderr
    assert "Traceback" not in done.stderr
