"""What is thought ahead while the mechanic is at the machine changes no result, and never runs beside an answer."""

from __future__ import annotations

import threading
import time
from dataclasses import replace

import pytest

from coldiron import Consultation
from coldiron.book.book import Book
from coldiron.book.checks import UNITS
from coldiron.consult.likely import answers
from coldiron.readings.interpret import understand
from coldiron.screens.ahead import PAUSE, Ahead, thoughts
from coldiron.screens.driver import JobDriver
from support.mechanic import Job, Mechanic, shipped, work

HIDDEN = frozenset(("main_link.blown", "cab_feed.chafed"))


def fresh(name: str) -> Book:
    """The shipped book under another hash, so that nothing worked out before is there already."""
    return replace(shipped(), hash=f"{shipped().hash} {name}")


@pytest.fixture(scope="module")
def job() -> Job:
    return work(Mechanic(shipped(), "interlocks", HIDDEN))


@pytest.mark.slow
def test_thinking_ahead_changes_no_question_and_no_odds(job: Job) -> None:
    """A job with every thought taken before each answer is the same, to the last bit, as one with none."""
    now = Consultation(fresh("ahead"))
    for plain, (asked, answer) in zip(job.after, job.said, strict=False):
        assert now.next == plain.next
        assert now.suspects == plain.suspects
        for _ in thoughts(JobDriver("a job", now)):
            pass
        now = now.answer(asked.id, answer, sure=True)


def test_an_answer_is_thought_of_for_every_finding_that_can_come(job: Job) -> None:
    """Each text is taken, names the finding it stands for, and the likeliest comes first."""
    checks = [now for now in job.after if now.next and now.next.id in now.book.checks and now.next.kind == "check"]
    assert checks
    for now in checks:
        assert now.next
        check = now.book.checks[now.next.id]
        found = [understand(check, text, now.state.volts, now.state.batteries, sure=True) for text in answers(now)]
        assert len({item.finding for item in found}) == len(found) > 0
        assert all(item.finding for item in found)
        if check.reads.quantity not in UNITS:
            assert set(answers(now)) <= {finding.id for finding in check.findings}


def test_before_the_machine_is_known_nothing_is_thought_of() -> None:
    """There is nothing to work out yet."""
    assert list(thoughts(JobDriver("a job", Consultation(shipped())))) == []


def test_after_stop_nothing_runs_beside_the_caller(job: Job) -> None:
    """The thread ends with the thought at hand, and a stop before the pause is over takes no time."""
    now = next(now for now in job.after if now.next and now.next.kind == "check")
    before = threading.active_count()
    ahead = Ahead()
    ahead.begin(JobDriver("a job", now))
    assert threading.active_count() == before + 1
    time.sleep(1.5 * PAUSE)
    ahead.stop()
    assert threading.active_count() == before
    ahead.stop()


def test_a_thought_that_fails_is_silent(job: Job, capfd: pytest.CaptureFixture[str]) -> None:
    """Nothing is written over the page; the answer itself will tell."""

    class Broken(JobDriver):
        def enter(self, text: str) -> JobDriver:
            raise RuntimeError(text)

    now = next(now for now in job.after if now.next and now.next.kind == "check")
    ahead = Ahead()
    ahead.begin(Broken("a job", now))
    time.sleep(2 * PAUSE)
    ahead.stop()
    assert capfd.readouterr() == ("", "")
