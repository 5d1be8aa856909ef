"""A job goes on from the disk exactly as it was left: same question, same odds, same page."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from coldiron import Consultation
from coldiron.consult.drawing import draw
from coldiron.consult.driver import JobDriver
from coldiron.consult.lines import Reply, commit
from coldiron.consult.saving import book_changes, book_of_text, book_text, new_job, old_job, steps_of
from coldiron.jobs.log import Event
from coldiron.jobs.store import open_store
from coldiron.language.load import load
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")

RESUMED = """
from coldiron import load_book
from coldiron.consult.drawing import draw
from coldiron.consult.saving import old_job
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
    driver = JobDriver(saved.title, Consultation(BOOK))
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
    return JobDriver(driver.title, driver.consultation.resume(), driver.committed)


@pytest.mark.parametrize("seed", ["0", "1", "77"])
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


def test_a_job_keeps_its_book() -> None:
    """The text of the rule files, from which the very same book is read again."""
    again = book_of_text(book_text(None))
    assert again.hash == BOOK.hash
    assert list(again.checks) == list(BOOK.checks)
    assert [rule.because for rule in again.rules.values()] == [rule.because for rule in BOOK.rules.values()]


def test_a_newer_book_says_what_it_changes() -> None:
    """A job begun with another edition is told so, and what that changes; the same edition says nothing."""
    saved = new_job("Roller", BOOK, None)
    saved.save(JobDriver(saved.title, JOB.after[12]).unsaved)
    with open_store() as store:
        assert book_changes(store, BOOK.hash, JOB.after[12]) == ()
        newer = Consultation(replace(BOOK, hash="another"), JOB.after[12].steps)
        assert book_changes(store, BOOK.hash, newer)[0].startswith("This job was begun with another edition")
        assert book_changes(store, "never kept", newer) == ("This job was begun with another edition of the book.",)


def test_entries_of_a_later_version_are_passed_over() -> None:
    """A kind of entry nobody knows yet is no step, and no error."""
    events = (Event(1, "answer", "raised", "none", ""), Event(2, "photo", "x", "y", ""), Event(3, "note", "", "z", ""))
    assert [step.kind for step in steps_of(events)] == ["answer", "note"]


def test_the_book_of_the_wheel_and_of_the_tree_are_one() -> None:
    """Loading twice gives the same hash, so a resumed job is not told of another edition."""
    assert load(None)[0].hash == BOOK.hash
