"""Thinking ahead: while the mechanic is at the machine, what each answer would lead to is worked out already.

An answer can bring many pairs of faults into view that have not been solved yet. Solving them takes part of a second,
looking at a machine takes minutes. What is worked out ahead only fills what the judge keeps, so it changes no result.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterator

from coldiron.book.checks import UNITS, Check, Finding
from coldiron.book.history import COMPLAINT
from coldiron.consult.session import Consultation
from coldiron.job.question import Question
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Driver

PAUSE = 0.15
"""Seconds of quiet before it begins, so that the page stands and keys pressed in a row wait for nothing."""


class Ahead:
    """Works in a thread of its own between two entries. One entry waits for the thought at hand at most."""

    def __init__(self) -> None:
        self._stopped = threading.Event()
        self._thread: threading.Thread | None = None

    def begin(self, driver: Driver) -> None:
        """Think about the page of a driver from now on, and of no other."""
        self.stop()
        self._stopped.clear()
        self._thread = threading.Thread(target=_think, args=(driver, self._stopped), daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Think no more; when this returns nothing runs beside the caller."""
        if self._thread is not None:
            self._stopped.set()
            self._thread.join()
            self._thread = None


@contextlib.contextmanager
def thinking(driver: Driver) -> Iterator[None]:
    """Think about the page of a driver while something is waited for."""
    ahead = Ahead()
    ahead.begin(driver)
    try:
        yield
    finally:
        ahead.stop()


def _think(driver: Driver, stopped: threading.Event) -> None:
    if stopped.wait(PAUSE):
        return
    # What goes wrong here goes wrong again where it matters, when the answer is given.
    with contextlib.suppress(Exception):
        for _ in thoughts(driver):
            if stopped.is_set():
                return


def thoughts(driver: Driver) -> Iterator[str]:
    """Work out the page after each likely answer, one at a turn; yields the answer."""
    if not isinstance(driver, JobDriver) or driver.consultation.judged is None:
        return
    for text in answers(driver.consultation):
        step = driver.enter(text)
        if isinstance(step, JobDriver) and step.doubted:
            step = step.enter(text)
        if isinstance(step, JobDriver):
            step.page()
        yield text


def answers(consultation: Consultation) -> tuple[str, ...]:
    """Something that could be typed for every way the present question can go, the likeliest first."""
    asked = consultation.next
    if asked is None:
        return ()
    check = consultation.book.checks.get(asked.id)
    if check is None:
        return _choices(consultation, asked)
    found = [check.findings[place] for place in _likeliest(consultation, check)]
    if check.reads.quantity not in UNITS:
        return tuple(finding.id for finding in found)
    texts = (_reading(consultation, finding) for finding in found)
    return tuple(text for text in texts if text)


def _choices(consultation: Consultation, asked: Question) -> tuple[str, ...]:
    """All choices of a question of history, else the first alone: acknowledged, done, put back."""
    known = asked.id == COMPLAINT or asked.id in consultation.book.questions
    return asked.choices if known else asked.choices[:1]


def _likeliest(consultation: Consultation, check: Check) -> list[int]:
    """The findings of a check that can come, the likeliest first."""
    judged = consultation.judged
    if judged is None:
        return []
    sights = judged.foresee(check.id)
    known = [sight for sight in sights if sight.finding < len(check.findings)]
    return [sight.finding for sight in sorted(known, key=lambda sight: -sight.chance)]


def _reading(consultation: Consultation, finding: Finding) -> str:
    """A value within a band, no further from zero than need be; empty where the finding has none at these volts."""
    volts, batteries = consultation.state.volts, consultation.state.batteries
    for band in finding.bands:
        if band.volts in (0, volts):
            low = max(band.low, min(0.0, band.high - 1.0))
            middle = (low + min(band.high, low + 1.0)) / 2
            return f"{middle * (batteries if band.per_battery else 1):.6f}"
    return ""
