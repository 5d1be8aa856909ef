"""The one door to the program: begin a job, see its page as lines, type a line, be killed, come back."""

from __future__ import annotations

from functools import cache

from coldiron import Consultation, load_book
from coldiron.book.book import Book
from coldiron.job.steps import Step
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Driver, Reply, take

WIDTH = 100


@cache
def shipped() -> Book:
    """The book as it is shipped; opaque to everybody here."""
    return load_book()[0]


class Screen:
    """A job at a screen eighty to a hundred columns wide.

    Args:
        book: another book than the shipped one.
        kept: where another job stood, from its `keep`; this one goes on from there.
    """

    def __init__(self, book: Book | None = None, kept: Screen | None = None) -> None:
        self._book = book or shipped()
        self._now = 0.0
        begun = Consultation(self._book)
        if kept is not None:
            begun = Consultation(self._book, kept.steps)
        self._driver = JobDriver("A machine", begun, clock=self._clock, at=0.0)
        self.typed: list[str] = []

    @property
    def steps(self) -> tuple[Step, ...]:
        """The log of the job; opaque, to be handed to another screen."""
        return self._driver.consultation.steps

    def lines(self) -> list[str]:
        """The page as it stands, its title first and what is asked for last."""
        page = self._driver.page()
        prompt = [f"{page.prompt.label} >"] if page.prompt else []
        return [page.title, "", *(row.text.rstrip() for row in draw(page.blocks, WIDTH)), *prompt]

    def type(self, line: str) -> str:
        """What is said to a line that changes nothing; empty if the line was taken."""
        self.typed.append(line)
        step: Driver | Reply = take(self._driver, line, lambda _: None)
        if isinstance(step, Reply):
            return " ".join(row.text for row in draw(step.blocks, WIDTH)) or "nothing"
        assert isinstance(step, JobDriver)
        self._driver = step
        return ""

    def come_back(self) -> None:
        """Another run of the program goes on with the same job, from its log alone."""
        steps = self._driver.consultation.steps
        self.typed.append("(the program was ended and the job resumed)")
        again = Consultation(self._book, steps).resume()
        self._driver = JobDriver("A machine", again, committed=len(steps), clock=self._clock, at=self._now)

    def keep(self) -> Screen:
        """Where this job stands now."""
        return Screen(self._book, self)

    def wait(self, seconds: float) -> None:
        """Nothing is typed for a while."""
        self.typed.append(f"({seconds:.0f} seconds later)")
        self._now += seconds

    def _clock(self) -> float:
        return self._now
