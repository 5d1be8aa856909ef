"""The one desk at which a job is worked by several pages: who answers a page that is no more is told so.

All of it runs in one thread, so that entries come one after another and the store is used by one thread only.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING

from coldiron.consult.session import Consultation
from coldiron.jobs.trouble import Conflict, StoreTrouble
from coldiron.record import replace
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Block, Reply, Text, take
from coldiron.screens.saving import SavedJob, steps_of
from coldiron.web.layout import PhonePage, shown

if TYPE_CHECKING:
    from coldiron.jobs.log import Entry

READ = 1.5
"""Seconds that a page with a caution must have been out before it can be confirmed: a double tap is no reading."""

TOO_SOON = "That tap came before you could read the caution. Read it, then confirm it."
STALE = "That page was old: the job has gone on meanwhile. Not taken: {}. This is the page as it is now."
NOT_ALL = "Tick each caution that you see to be so. If one is not so, say that it is not."
MEANWHILE = "Another window has answered meanwhile. Look again before you go on."


class KeptJob:
    """A job, its driver as the latest entry left it, what saves the next one, and what reads those of other windows."""

    def __init__(self, job: SavedJob, driver: JobDriver) -> None:
        self._job = job
        self.driver = driver

    def save(self, entries: tuple[Entry, ...]) -> None:
        """Commit entries, all or none.

        Raises:
            StoreTrouble: nothing was saved. `Conflict`: another window was first.
        """
        self._job.save(entries)

    def caught_up(self) -> JobDriver | None:
        """The driver with what other windows have saved since; None where there is nothing new.

        What they acknowledged was seen by whoever sits there, so the job counts as parked here: cautions come again.

        Raises:
            StoreTrouble: the job cannot be read.
        """
        store, number = self._job.store, self._job.number
        if store is None or not number or store.job(number).answers == self._job.seq:
            return None
        events = store.events(number)
        steps = steps_of(events)
        now = Consultation(self._job.book, steps, self.driver.consultation.before)
        self._job.seq = len(events)
        return replace(self.driver, consultation=now.resume(), committed=len(steps), said=(), doubted="", parked=False)


class Desk:
    """One job. `at` marks the page that is out: an entry counts only with the mark of the page that stands now."""

    def __init__(self, kept: KeptJob, clock: Callable[[], float] = monotonic) -> None:
        self._kept = kept
        self._clock = clock
        self._run = secrets.token_hex(4)
        self._turn = 0
        self._out: float | None = None

    @property
    def at(self) -> str:
        """The mark of the page that is out."""
        return f"{self._run}.{self._turn}"

    def look(self, reply: tuple[Block, ...] = ()) -> PhonePage:
        """Return the page as it is now, entries of other windows included.

        Raises:
            StoreTrouble: the job cannot be read.
        """
        reply = (*self._catch_up(), *reply)
        if self._out is None:
            self._out = self._clock()
        driver = self._kept.driver
        return shown(driver.page(), driver.consultation, self.at, reply, parked=driver.parked)

    def say(self, line: str, at: str, *, ticked: int = 0) -> PhonePage:
        """Take one entry from a page, and return the page that follows.

        Args:
            line: as it would be typed at a terminal.
            at: the mark of the page it was given on.
            ticked: how many cautions were ticked there.

        Raises:
            StoreTrouble: the job cannot be read.
        """
        told = self._catch_up()
        driver = self._kept.driver
        if not secrets.compare_digest(at.encode("utf-8", "replace"), self.at.encode()):
            return self.look((*told, Text(STALE.format(line or "nothing"))))
        if driver.parked:
            self._move(replace(driver, parked=False))
            return self.look()
        try:
            after = take(driver, line, self._kept.save, self._unread(driver, ticked))
        except Conflict as conflict:
            return self.look((Text(f"Not taken. {conflict.sentence}"),))
        except StoreTrouble as trouble:
            return self.look((Text(f"Not saved. {trouble.sentence} {trouble.suggestion}"),))
        if isinstance(after, Reply):
            return self.look(after.blocks)
        if isinstance(after, JobDriver):
            self._move(after)
        return self.look()

    def _catch_up(self) -> tuple[Block, ...]:
        """Take over what other windows have saved, and what is said of it."""
        later = self._kept.caught_up()
        if later is None:
            return ()
        self._move(later)
        return (Text(MEANWHILE),)

    def _unread(self, driver: JobDriver, ticked: int) -> str:
        """Why the cautions of a page cannot be confirmed yet, however it is said; empty if they can."""
        asked = driver.consultation.next
        if asked is None or asked.kind != "caution":
            return ""
        if self._out is None or self._clock() - self._out < READ:
            return TOO_SOON
        return NOT_ALL if ticked < len(asked.cautions) - len(asked.beside) else ""

    def _move(self, driver: JobDriver) -> None:
        self._kept.driver = driver
        self._turn += 1
        self._out = None
