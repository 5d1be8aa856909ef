"""The store keeps what it says it kept, and says plainly why it cannot."""

from __future__ import annotations

import os
import re
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coldiron.jobs.home import FILE, home
from coldiron.jobs.log import Entry, Event
from coldiron.jobs.schema import MIGRATIONS, migrate
from coldiron.jobs.store import Store, open_store
from coldiron.jobs.trouble import Conflict, StoreTrouble

STORED_TEXT = st.text(st.characters(codec="utf-8"), max_size=30)


@pytest.fixture(name="path")
def _path(tmp_path: Path) -> Path:
    return tmp_path / "home" / FILE


def begun(path: Path, *values: str) -> Store:
    """A store with one job, id 1, that has these answers."""
    store = open_store(path)
    store.create("yellow loader", "hash", "0.1")
    for seq, value in enumerate(values):
        store.append(1, seq, "answer", "rest_volts", value)
    return store


def values(store: Store) -> list[str]:
    return [event.value for event in store.events(1)]


def test_what_was_appended_is_there_after_reopening(path: Path) -> None:
    """Events come back in order, with numbers from 1 without a gap and the time they were given."""
    with begun(path, "12.6", "12,4 V") as store:
        event = store.append(1, 2, "note", "", "blue wire")
    assert event[:4] == (3, "note", "", "blue wire")
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", event.at)
    with open_store(path) as store:
        assert store.events(1)[2] == event
        assert values(store) == ["12.6", "12,4 V", "blue wire"]


def test_the_notes_of_a_machine_are_those_of_all_its_jobs(path: Path) -> None:
    """The oldest first, each once, one job left out where wanted; other machines and other answers are none of them."""
    with begun(path, "12.6") as store:
        for name, notes in (("Yellow  Loader", "ab"), ("yellow loader", "bc"), ("red loader", "d")):
            job = store.create(name, "", "")
            store.append_all(job.id, 0, [Entry("note", "", text) for text in notes])
        assert store.notes("yellow loader") == ("a", "b", "c")
        assert store.notes("YELLOW LOADER ", besides=2) == ("b", "c")
        assert store.notes("loader") == ()


def test_the_jobs_of_a_machine_are_told_the_latest_first(path: Path) -> None:
    """Capitals and blanks aside; one left out where wanted, and those that nobody has answered."""
    with begun(path, "12.6") as store:
        for name in ("Yellow  Loader", "red loader", "yellow loader", "yellow loader"):
            store.create(name, "", "")
        for number in (2, 3, 4):
            store.append(number, 0, "note", "", "here")
        assert store.of_machine("YELLOW LOADER ") == (4, 2, 1)
        assert store.of_machine("yellow loader", besides=4) == (2, 1)
        assert store.of_machine("loader") == ()


@given(st.lists(st.builds(Entry, STORED_TEXT, STORED_TEXT, STORED_TEXT), min_size=1, max_size=5))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_comes_back_as_it_was(path: Path, entries: list[Entry]) -> None:
    """Whatever was typed is stored raw, NUL and line ends included."""
    with open_store(path) as store:
        job = store.create("any", "", "")
        store.append_all(job.id, 0, entries)
        assert [Entry(*event[1:4]) for event in store.events(job.id)] == entries


def test_several_entries_are_all_or_none(path: Path) -> None:
    """One bad entry leaves none of its transaction behind."""
    with begun(path) as store:
        with pytest.raises(StoreTrouble) as caught:
            store.append_all(1, 0, [Entry("answer", "a", "1"), Entry("answer", "b", "\ud800")])
        assert caught.value.kind == "text"
        assert store.events(1) == ()
        store.append_all(1, 0, [Entry("answer", "a", "1"), Entry("answer", "b", "2")])
        assert [event.seq for event in store.events(1)] == [1, 2]


def test_two_windows_on_one_job_see_the_conflict(path: Path) -> None:
    """The second to answer is told, with the number the log has reached; its answer is not added."""
    with begun(path) as first, open_store(path) as second:
        first.append(1, 0, "answer", "a", "mine")
        with pytest.raises(Conflict) as caught:
            second.append(1, 0, "answer", "a", "yours")
        assert (caught.value.kind, caught.value.latest) == ("conflict", 1)
        assert values(second) == ["mine"]
        second.append(1, 1, "answer", "b", "yours")
        assert values(first) == ["mine", "yours"]


def test_two_processes_answering_at_once_lose_and_double_nothing(path: Path) -> None:
    """Two programs that each retry after a conflict end with every answer once."""
    begun(path).close()
    program = """
import sys
from pathlib import Path
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import Conflict
seq = 0
with open_store(Path(sys.argv[1]), wait=30) as store:
    for number in range(250):
        while True:
            try:
                seq = store.append(1, seq, "answer", sys.argv[2], str(number)).seq
                break
            except Conflict as conflict:
                seq = conflict.latest
"""
    writers = [subprocess.Popen([sys.executable, "-c", program, str(path), name]) for name in "ab"]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    with open_store(path) as store:
        events = store.events(1)
    for name in "ab":
        assert [event.value for event in events if event.id == name] == [str(number) for number in range(250)]


def test_list_of_jobs(path: Path) -> None:
    """The job worked on last stands first, with what was last said of it."""
    with begun(path, "1", "2") as store:
        second = store.create("green roller", "hash", "0.1")
        store.remark(second.id, "parked", "main link: blown")
        assert [(job.name, job.answers, job.status) for job in store.jobs()] == [
            ("green roller", 0, "parked"),
            ("yellow loader", 2, ""),
        ]
        assert store.job(2).summary == "main link: blown"
        assert store.job(1) == store.jobs()[1]


@pytest.mark.parametrize("ask", ["events", "job"])
def test_a_job_that_is_not_there(path: Path, ask: str) -> None:
    """Asking for an unknown job, or adding to it, says so."""
    with begun(path) as store:
        for action in (
            lambda: getattr(store, ask)(9),
            lambda: store.append(9, 0, "a", "b", "c"),
            lambda: store.remark(9, "", ""),
        ):
            with pytest.raises(StoreTrouble) as caught:
                action()
            assert (caught.value.kind, caught.value.sentence) == ("missing", "There is no job 9.")


@given(STORED_TEXT)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_books_are_kept_once_and_small(path: Path, text: str) -> None:
    """The text of a book comes back by its hash; keeping it again changes nothing."""
    with open_store(path) as store:
        store.keep_book(f"hash of {text}", text * 500)
        store.keep_book(f"hash of {text}", "another text")
        assert store.book(f"hash of {text}") == text * 500
        assert store.book("unknown") is None


def test_the_files_are_for_the_user_alone(path: Path) -> None:
    """Folder 0700, job file and its side files 0600, whatever the mask is."""
    before = os.umask(0)
    try:
        with begun(path, "12.6"):
            modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in path.parent.iterdir()}
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert modes == {FILE: 0o600, f"{FILE}-wal": 0o600, f"{FILE}-shm": 0o600}


def test_commits_are_synced(path: Path) -> None:
    """WAL with synchronous FULL (2); without WAL a deleted journal and EXTRA (3)."""
    with begun(path) as store:
        assert store._connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert store._connection.execute("PRAGMA synchronous").fetchone() == (2,)
    other = path.with_name("share")

    def no_shared_memory(file: Path, wait: float) -> sqlite3.Connection:
        return sqlite3.connect(f"file:{file}?vfs=unix-none", timeout=wait, isolation_level=None, uri=True)

    with open_store(other, connect=no_shared_memory) as store:
        assert store._connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert store._connection.execute("PRAGMA synchronous").fetchone() == (3,)


def test_home_is_where_the_user_says(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """COLDIRON_HOME wins; without it the jobs are in the user's data folder."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path / "here"))
    assert home() == tmp_path / "here"
    with open_store() as store:
        assert store.path == tmp_path / "here" / FILE
    monkeypatch.delenv("COLDIRON_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert home().name == "coldiron"
    assert home().is_relative_to(tmp_path)


def test_an_older_file_is_brought_up_to_date_and_keeps_its_jobs(path: Path) -> None:
    """A later version adds a step; files of this one get it, in one transaction, with everything still there."""
    begun(path, "12.6").close()
    later = (*MIGRATIONS, ("ALTER TABLE job ADD COLUMN yard TEXT NOT NULL DEFAULT 'Larch Lane'",))
    connection = sqlite3.connect(path, isolation_level=None)
    broken = (*later, ("CREATE TABLE half (a)", "no such statement"))
    with pytest.raises(sqlite3.OperationalError):
        migrate(connection, str(path), broken)
    assert connection.execute("PRAGMA user_version").fetchone() == (len(MIGRATIONS),)
    assert connection.execute("SELECT count(*) FROM sqlite_schema WHERE name = 'half'").fetchone() == (0,)
    migrate(connection, str(path), later)
    migrate(connection, str(path), later)
    assert connection.execute("SELECT name, yard FROM job").fetchone() == ("yellow loader", "Larch Lane")
    connection.close()
    with pytest.raises(StoreTrouble) as caught:
        open_store(path)
    assert caught.value.kind == "newer"


def test_events_are_the_only_state(path: Path) -> None:
    """What the list remarks of a job is nowhere in its log."""
    with begun(path, "12.6") as store:
        before: tuple[Event, ...] = store.events(1)
        store.remark(1, "parked", "anything")
        assert store.events(1) == before
