"""A flipped bit in a log is found and told with its place, and the sound part goes on; nothing is thrown away."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.jobs.log import Entry
from coldiron.jobs.schema import MIGRATIONS, migrate
from coldiron.jobs.store import Store, open_store
from coldiron.jobs.sums import chained, examined, head_sum, sum_of
from coldiron.jobs.trouble import Conflict, JobDamage

ROWS = [(number, "answer", f"check {number}", f"12.{number}", "2026-01-01") for number in range(1, 7)]
HEAD = head_sum(1, "roller", "book", "1", "2026")
SUMS = chained(HEAD, ROWS)


@given(st.integers(0, 5), st.integers(1, 4), st.text(max_size=5))
def test_any_change_of_an_entry_is_found_with_its_place(at: int, part: int, text: str) -> None:
    """The entries before it are sound, those after it are so in themselves."""
    changed = [list(row) for row in ROWS]
    if changed[at][part] == text:
        return
    changed[at][part] = text
    health = examined(HEAD, HEAD, changed, SUMS, 6)
    assert not health.whole
    assert health.sound == at
    assert health.later == tuple(range(at + 2, 7))


@given(st.integers(0, 4), st.integers(0, 127))
def test_a_sum_that_was_hit_itself_costs_no_entry(at: int, bit: int) -> None:
    """The next entry vouches for the one whose sum was hit; the sums are still not as they were."""
    sums = [*SUMS]
    sums[at] = bytes(byte ^ (1 << bit % 8 if place == bit // 8 else 0) for place, byte in enumerate(sums[at]))
    health = examined(HEAD, HEAD, ROWS, sums, 6)
    assert (health.sound, health.later, health.whole) == (6, (), False)


def test_what_is_missing_moved_or_put_in_is_found() -> None:
    """The last entries cut off, one taken out, two exchanged, the heading changed; and all is well without that."""
    assert examined(HEAD, HEAD, ROWS, SUMS, 6).whole
    assert examined(HEAD, HEAD, [], [], 0).whole
    assert (examined(HEAD, HEAD, ROWS[:4], SUMS[:4], 6).sound, examined(HEAD, HEAD, ROWS[:4], SUMS[:4], 6).written) == (
        4,
        6,
    )
    assert examined(HEAD, HEAD, ROWS[:2] + ROWS[3:], SUMS[:2] + SUMS[3:], 6).sound == 2
    exchanged = [*ROWS[:2], ROWS[3], ROWS[2], *ROWS[4:]]
    assert examined(HEAD, HEAD, exchanged, SUMS, 6).sound == 2
    other = head_sum(1, "rollex", "book", "1", "2026")
    assert (examined(other, HEAD, ROWS, SUMS, 6).head, examined(other, HEAD, ROWS, SUMS, 6).sound) == (False, 6)


def test_parts_do_not_run_into_each_other() -> None:
    assert sum_of(b"", "ab", "c") != sum_of(b"", "a", "bc")


@pytest.fixture(name="store")
def _store(tmp_path: Path) -> Store:
    store = open_store(tmp_path / "jobs")
    store.create("roller", "book", "1")
    store.append_all(1, 0, [Entry("answer", f"check {number}", f"12.{number}") for number in range(1, 7)])
    return store


def test_damage_is_told_with_its_place_and_what_is_sound(store: Store) -> None:
    """In words, and with what to do."""
    store._connection.execute("UPDATE event SET value = '13' WHERE seq = 3")
    with pytest.raises(JobDamage) as caught:
        store.events(1)
    said = str(caught.value)
    assert "Entry 3 of job 1 is damaged" in said
    assert "Sound before it: entries 1 to 2." in said
    assert "entries 4 to 6" in said
    assert "resume 1 --sound" in said
    assert [event.seq for event in store.sound_events(1)] == [1, 2]


def test_the_sound_part_goes_on_and_the_rest_is_kept(store: Store) -> None:
    """What is set aside is given back, and stands in the file with its sums as they were."""
    store._connection.execute("UPDATE event SET value = '13' WHERE seq = 3")
    assert [event.value for event in store.keep_sound(1)] == ["13", "12.4", "12.5", "12.6"]
    assert store.append(1, 2, "note", "", "on").seq == 3
    assert [event.value for event in store.events(1)] == ["12.1", "12.2", "on"]
    assert store._connection.execute("SELECT count(*) FROM aside").fetchone() == (6,)
    assert store.keep_sound(1) == ()


def test_every_text_of_a_job_is_watched(store: Store) -> None:
    """Its name, its book, its dates, each part of each entry, how many there are, and what the list says of it."""
    store.remark(1, "parked", "main link")
    changes = [
        "UPDATE event SET # = # || 'x' WHERE seq = 2".replace("#", part) for part in ("kind", "id", "value", "at")
    ]
    changes += ["UPDATE job SET # = # || 'x'".replace("#", part) for part in ("name", "book", "version", "created")]
    changes += ["UPDATE job SET entries = 5", "UPDATE job SET head = x'00'", "DELETE FROM event WHERE seq = 6"]
    for change in changes:
        store._connection.execute("BEGIN")
        store._connection.execute(change)
        assert not store.health(1).whole, change
        store._connection.execute("ROLLBACK")
    store._connection.execute("UPDATE job SET summary = 'all well'")
    assert "damaged" in store.job(1).summary
    assert store.health(1).whole


def test_an_older_file_is_taken_over_whole(tmp_path: Path) -> None:
    """Entries without sums get theirs, once; none is lost, and later damage is found."""
    path = tmp_path / "jobs"
    old = sqlite3.connect(path, isolation_level=None)
    migrate(old, str(path), MIGRATIONS[:1])
    for number, at in ((1, "2026-03-01"), (2, "2026-02-01")):
        old.execute("INSERT INTO job (name, book, version, created) VALUES ('roller', 'b', '1', '2026-01-01')")
        rows = [(number, *row[:4], at) for row in ROWS]
        old.executemany("INSERT INTO event (job, seq, kind, id, value, at) VALUES (?, ?, ?, ?, ?, ?)", rows)
    old.close()
    with open_store(path) as store:
        assert [job.id for job in store.jobs()] == [1, 2]
        assert [event.value for event in store.events(2)] == [row[3] for row in ROWS]
        store.append(2, 6, "note", "", "on")
        store._connection.execute("UPDATE event SET value = '?' WHERE job = 2 AND seq = 7")
        assert store.health(2).sound == 6


def test_a_wrong_clock_does_not_reorder_jobs(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """The job answered last stands first, though the clock has gone back by years."""
    monkeypatch.setattr("coldiron.jobs.store.now", lambda: "1999-01-01T00:00:00Z")
    later = store.create("later", "", "")
    store.append(later.id, 0, "note", "", "x")
    assert [job.id for job in store.jobs()] == [2, 1]
    store.append(1, 6, "note", "", "y")
    assert [job.id for job in store.jobs()] == [1, 2]


def test_the_second_of_two_windows_is_told_what_was_not_saved(store: Store) -> None:
    """In the words in which it can be given again."""
    with pytest.raises(Conflict) as caught:
        store.append_all(1, 5, [Entry("answer", "rest_volts", "12.4"), Entry("note", "", "blue wire")])
    assert "rest_volts 12.4; note blue wire" in str(caught.value)
    assert caught.value.unsaved == (("answer", "rest_volts", "12.4"), ("note", "", "blue wire"))
