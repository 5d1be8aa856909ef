"""The parts of a consultation that explanations need."""

from __future__ import annotations

from typing import Protocol

TYPE_CHECKING = False
if TYPE_CHECKING:
    from coldiron.book.book import Book
    from coldiron.job.question import Question
    from coldiron.job.state import State
    from coldiron.job.steps import Step
    from coldiron.judging.judgement import Judgement
    from coldiron.judging.setup import Setup
    from coldiron.telling.outcome import Outcome


class SoFar(Protocol):
    """The consultation, seen from those who explain it."""

    @property
    def book(self) -> Book:
        """The shop's knowledge."""

    @property
    def state(self) -> State:
        """The state that the log folds to."""

    @property
    def setup(self) -> Setup | None:
        """The composed machine, once it is known."""

    @property
    def judged(self) -> Judgement | None:
        """The judgement on the readings, once there are any."""

    @property
    def next(self) -> Question | None:
        """The one thing to do now."""

    @property
    def suspects(self) -> tuple[tuple[str, float], ...]:
        """Fault ids with the chance that each is present now, best first."""

    @property
    def steps(self) -> tuple[Step, ...]:
        """Its log."""

    @property
    def unknown(self) -> float:
        """The chance that the fault is not in the book."""

    @property
    def minutes(self) -> float:
        """Minutes spent so far, by the book."""

    @property
    def verdict(self) -> Outcome:
        """What the evidence now supports, and how the job stands."""
