"""A job goes on from the disk exactly as it was left: same question, same odds, same page."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coldiron import Consultation, books
from coldiron.book.book import Book
from coldiron.job.steps import Answered, Step
from coldiron.jobs.editions import packed
from coldiron.jobs.log import Entry, Event
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import JobDamage, StoreTrouble
from coldiron.language import load as loading
from coldiron.language.files import RuleFile
from coldiron.language.load import load
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Reply, commit
from coldiron.screens.resuming import old_job
from coldiron.screens.saving import edition, new_job, steps_of
from support.mechanic import shipped, worked
from support.rows import id_of
from support.rule_text import GROUND

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coldiron.language.load import Judge, Loaded
    from coldiron.store.cache import Cache

BOOK = shipped()
JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")

RESUMED = """
from coldiron import load_book
from coldiron.screens.drawing import draw
from coldiron.screens.resuming import old_job
_, driver = old_job(None, load_book()[0], None)
print("\\n".join(row.text for row in draw(driver.page().blocks, 80)))
print(driver.consultation.suspects[:5])
"""


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))


def drawn(driver: JobDriver) -> list[str]:
    return [row.text for row in draw(driver.page().blocks, 80)]


def test_at_every_step_the_job_on_the_disk_is_the_job_on_the_screen() -> None:
    """What was shown as saved is there, and leads to the same page."""
    saved = new_job("Roller", BOOK, None)
    driver = JobDriver(saved.title, Consultation(BOOK), keeps=saved.title)
    for _, answer in JOB.said:
        step = driver.enter(answer)
        assert not isinstance(step, Reply)
        driver = commit(step, saved.save)  # type: ignore[assignment]
        _, again = old_job(None, BOOK, None)
        left = left_without_a_word(driver)
        assert again.consultation.steps == left.consultation.steps
        assert again.consultation.next == left.consultation.next
        assert drawn(again) == drawn(left)


def left_without_a_word(driver: JobDriver) -> JobDriver:
    """The page of a job that nobody parked: it counts as parked. What the last entry brought about is said once."""
    return JobDriver(driver.title, driver.consultation.resume(), driver.committed, keeps=driver.keeps)


@pytest.mark.parametrize("seed", ["0", "77"])
def test_another_process_goes_on_with_the_same_page(seed: str, tmp_path: Path) -> None:
    """Whatever the seed of its hashes."""
    saved = new_job("Roller", BOOK, None)
    place = next(n for n, now in enumerate(JOB.after) if now.next and now.next.kind == "repair")
    driver = JobDriver(saved.title, JOB.after[place])
    saved.save(driver.unsaved)
    env = {"PYTHONHASHSEED": seed, "COLDIRON_HOME": str(tmp_path), "COLDIRON_CACHE": str(tmp_path / "cache")}
    source = str(Path(__file__).parents[2] / "src")
    done = subprocess.run(
        [sys.executable, "-c", RESUMED], env={**env, "PYTHONPATH": source}, capture_output=True, text=True, check=True
    )
    *page, suspects = done.stdout.splitlines()
    assert page == [row.rstrip("\n") for row in drawn(left_without_a_word(driver.saved()))]
    assert suspects == repr(driver.consultation.suspects[:5])


@cache
def log() -> tuple[Step, ...]:
    """The steps of a job that is parked in the middle."""
    return JOB.after[12].steps


def lacking(circuit: str, check: str) -> Book:
    """Another edition: one machine and one check fewer."""
    circuits = {name: one for name, one in BOOK.circuits.items() if name != circuit}
    checks = {name: one for name, one in BOOK.checks.items() if name != check}
    return replace(BOOK, hash="another", circuits=circuits, checks=checks)


def told(driver: JobDriver) -> str:
    return " ".join(driver.said)


def parked_job() -> None:
    saved = new_job("Roller", BOOK, None)
    saved.save(JobDriver(saved.title, JOB.after[12]).unsaved)


def test_a_job_keeps_its_book() -> None:
    """The text of the rule files, once, from which the very same book is read again."""
    parked_job()
    parked_job()
    with open_store() as store:
        assert store._connection.execute("SELECT count(*) FROM book").fetchone() == (1,)
        again = edition(store, BOOK.hash)
        assert again is not None
        assert again.hash == BOOK.hash
        assert list(again.checks) == list(BOOK.checks)
        assert [rule.because for rule in again.rules.values()] == [rule.because for rule in BOOK.rules.values()]
        assert edition(store, "never kept") is None


def test_a_job_s_own_book_is_read_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is kept between runs as the shipped one is; what is kept is made again where a bit of it has changed."""
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path))
    files = {"ground.rules": GROUND.read_bytes()}
    book, _ = books.of_files([RuleFile(name, name, data) for name, data in files.items()])
    build = loading.build_files
    built: list[str] = []

    def counted(files: Iterable[RuleFile], judge: Judge | None = None, cache: Cache | None = None) -> Loaded:
        built.append(book.hash)
        return build(files, judge, cache)

    monkeypatch.setattr(loading, "build_files", counted)
    with open_store() as store:
        store.keep_book(book.hash, packed(files))
        again = edition(store, book.hash)
        assert again is not None
        assert built == []
        assert (again.hash, list(again.checks), list(again.faults)) == (book.hash, list(book.checks), list(book.faults))
        (kept,) = tmp_path.glob("book-*")
        data = bytearray(kept.read_bytes())
        data[-9] ^= 1
        kept.write_bytes(data)
        anew = edition(store, book.hash)
        assert anew is not None
        assert built == [book.hash]
        assert anew.checks == again.checks


def test_a_job_goes_on_with_its_own_book() -> None:
    """What is here now is another edition: the job does not use it, says what it lacks for this job, and offers it."""
    parked_job()
    known = JOB.after[12].state.circuit
    answered = next(step for step in JOB.after[12].steps if isinstance(step, Answered) and step.id in BOOK.checks)
    newer = lacking(known, answered.id)
    _, driver = old_job(None, newer, None)
    assert driver.consultation.book.hash == BOOK.hash
    assert driver.consultation.state.circuit == known
    assert f"does not have this machine: {BOOK.circuits[known].name}" in told(driver)
    assert BOOK.checks[answered.id].ask in told(driver)
    assert "resume 1 --newer" in told(driver)
    _, same = old_job(None, BOOK, None)
    assert same.said == ()


def test_a_job_goes_over_to_a_newer_book_when_it_is_told_to() -> None:
    """And stays with it; what it lacks is told once more, and no answer leaves the log."""
    parked_job()
    newer = replace(BOOK, hash="another")
    saved, driver = old_job(None, newer, None, newer=True)
    assert driver.consultation.book is newer
    assert "now uses today's book" in told(driver)
    assert "that changes nothing" in told(driver)
    saved.save((Entry("note", "", "later"),))
    _, again = old_job(None, newer, None)
    assert again.said == ()
    assert again.consultation.steps[: len(log())] == log()
    assert again.consultation.steps[len(log())].kind == "note"


def test_a_job_whose_book_is_gone_says_so() -> None:
    """It goes on with another only when it is told to."""
    saved = new_job("Roller", replace(BOOK, hash="never kept"), None)
    saved.save(JobDriver(saved.title, JOB.after[5]).unsaved)
    with open_store() as store:
        store._connection.execute("DELETE FROM book")
    with pytest.raises(StoreTrouble, match="--newer"):
        old_job(None, BOOK, None)
    _, driver = old_job(None, BOOK, None, newer=True)
    assert driver.consultation.steps[: len(JOB.after[5].steps)] == JOB.after[5].steps


def test_an_entry_of_a_kind_nobody_knows_is_told() -> None:
    """With its number and its kind; it stays in the log."""
    parked_job()
    with open_store() as store:
        store.append(1, len(log()), "photo", "x", "y")
    _, driver = old_job(None, BOOK, None)
    assert f"Entry {len(log()) + 1}" in told(driver)
    assert "photo" in told(driver)


def test_a_damaged_job_goes_on_with_what_is_sound() -> None:
    """What is set aside is told, so that it can be given again, and it is kept."""
    parked_job()
    with open_store() as store:
        store._connection.execute("UPDATE event SET value = 'x' WHERE seq = 11")
    with pytest.raises(JobDamage, match="Entry 11 of job 1 is damaged"):
        old_job(None, BOOK, None)
    saved, driver = old_job(None, BOOK, None, sound=True)
    assert driver.consultation.steps[:10] == log()[:10]
    assert id_of(log()[11]) in told(driver)
    saved.save((Entry("note", "", "on"),))
    with open_store() as store:
        assert [event.seq for event in store.events(1)] == list(range(1, 12))


def test_entries_of_a_later_version_are_passed_over() -> None:
    """A kind of entry nobody knows yet is no step, and no error."""
    events = (Event(1, "answer", "raised", "none", ""), Event(2, "photo", "x", "y", ""), Event(3, "note", "", "z", ""))
    assert [step.kind for step in steps_of(events)] == ["answer", "note"]


def test_the_book_of_the_wheel_and_of_the_tree_are_one() -> None:
    """Loading twice gives the same hash, so a resumed job is not told of another edition."""
    assert load(None)[0].hash == BOOK.hash
