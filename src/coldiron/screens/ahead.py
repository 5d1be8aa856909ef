"""Thinking ahead: while the mechanic is at the machine, what each answer would lead to is worked out already.

An answer can bring many pairs of faults into view that have not been solved yet. Solving them takes part of a second,
looking at a machine takes minutes. What is worked out ahead only fills what the judge keeps, so it changes no result.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterator
from typing import Protocol, runtime_checkable

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


@runtime_checkable
class Foreseeing(Driver, Protocol):
    """A driver that knows what may be typed next."""

    @property
    def doubted(self) -> str:
        """What was typed and is taken if it is typed again; empty if nothing is doubted."""

    def likely(self) -> tuple[str, ...]:
        """Something that could be typed for every way the page can go, the likeliest first."""


def thoughts(driver: Driver) -> Iterator[str]:
    """Work out the page after each likely answer, one at a turn; yields the answer."""
    for text in driver.likely() if isinstance(driver, Foreseeing) else ():
        step = driver.enter(text)
        if isinstance(step, Foreseeing) and step.doubted:
            step = step.enter(text)
        if isinstance(step, Foreseeing):
            step.page()
        yield text
