"""What a log tells of dangers: what was said, the dangers that stand, how far the log is folded to them."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.book import Book
from coldiron.book.dangers import Danger
from coldiron.book.history import COMPLAINT
from coldiron.job.danger_lines import DangerLines
from coldiron.job.steps import BackStep, ChangeStep, Step
from coldiron.record import dataclass, field

NOT_KNOWN = ""
"""What a question says that was put and that nobody could answer."""

THE_PART = "part"
"""In a line of a danger: the part of the check that told of it."""

NOW = "now."
"""Before the id of a danger: the id of the page that says what to do this second."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A danger that stands: the check or question that told of it, the part that this is about, where in the log.

    `ways` are the ways out that are open now: the checks and questions, all of them, whose answers would end it. A way
    on which something was read, or passed over, since the danger was told is shut until a repair or a new start.
    `repaired` says whether anything was repaired since it was told, `guessed` that it stands because nobody knew.
    """

    danger: Danger
    source: str
    part: str
    at: int
    ways: tuple[tuple[str, ...], ...] = ()
    repaired: bool = False
    guessed: bool = False

    @property
    def by_words(self) -> bool:
        """Whether it was told by words, the complaint or an answer, and nothing was read yet."""
        asked = {sign.name for signs in self.danger.told for sign in signs if sign.test == "history"}
        return self.source == COMPLAINT or self.source in asked


@dataclass(frozen=True, slots=True)
class Said:
    """What one entry of the log says: the place it has in the log, what of, and which findings or answers.

    `done` is the fault that was repaired, or the page of a danger that was gone through.
    """

    at: int
    name: str = ""
    values: frozenset[str] = frozenset()
    done: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """A log, and the machine by which its figures are read."""

    book: Book
    volts: int
    batteries: int
    log: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True)
class Fold:
    """What a log has told of dangers so far, on a machine of so many volts and batteries with the checks of `lines`.

    Attributes:
        told: the dangers told of and not ended, in order; `standing` are the same, each with the ways out of it.
        latest: what was said last, by check or question.
        tried: the place of the last answer, given or passed over, by check or question.
        repaired: the repairs that were done.
        parked: the place where the job was parked last; -1 if nowhere.
        steps: how many entries of the log are folded; `length` of them count.
        haunted: whether an answer that was taken back still tells.
    """

    volts: int
    batteries: int
    lines: DangerLines
    told: tuple[Standing, ...] = ()
    latest: Mapping[str, Said] = field(default_factory=dict)
    tried: Mapping[str, int] = field(default_factory=dict)
    repaired: tuple[Said, ...] = ()
    parked: int = -1
    steps: int = 0
    length: int = 0
    haunted: bool = False
    standing: tuple[Standing, ...] = ()

    def goes_on(self, told: Told, checks: tuple[str, ...]) -> bool:
        """Whether a state is that of the same log with steps added, on the same machine, all of which count.

        What a step taken back goes on telling depends on what is said after it: then the log is folded afresh.
        """
        same = (told.volts, told.batteries, checks) == (self.volts, self.batteries, self.lines.checks)
        more = told.log[self.steps :]
        return (
            same and not any(isinstance(step, BackStep | ChangeStep) for step in more) and not (more and self.haunted)
        )
