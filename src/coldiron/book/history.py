"""What a person tells of a machine: its complaint, answers to questions, trouble codes."""

from __future__ import annotations

from typing import Literal

from coldiron.book.dangers import Bar
from coldiron.book.faults import FaultRef
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass

COMPLAINT = "complaint"
"""The id under which the complaint is asked and judged as a check; its findings are the complaints of the book."""

CODE = "code"
"""The id under which trouble codes are entered, in a case as at a prompt."""

TOLD = "told"
"""The id under which an owner's own words are entered, with a number behind a point in the log."""

LOOSE = 10.0
"""All that is told together changes the odds of a fault by no more than this factor, either way, unless an answer is
declared to reach further."""

LARGEST_SPN = 2**19 - 1
"""The number of what is wrong (SPN) has 19 bits in a trouble code of SAE J1939-73."""

LARGEST_FMI = 2**5 - 1
"""The number of how it is wrong (FMI) has 5 bits."""


@dataclass(frozen=True, slots=True)
class Shift:
    """A history answer that multiplies the odds of some faults."""

    faults: FaultRef
    factor: float


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to a question: shifts of odds, cautions that become due.

    `most` is how far its shifts may reach, and `reaches` why that is further than `LOOSE`. `common` is the share of
    owners who answer so whatever is wrong, 0 where nothing is said of it. `hears` are phrases that may mean it.
    `there` is the chance that a reading finds the fault there, below 1 where the answer says that it comes and goes.
    """

    id: str
    meaning: str
    shifts: tuple[Shift, ...] = ()
    warns: tuple[str, ...] = ()
    place: Place = NOWHERE
    most: float = LOOSE
    reaches: str = ""
    common: float = 0.0
    hears: tuple[str, ...] = ()
    there: float = 1.0


@dataclass(frozen=True, slots=True)
class Ask:
    """A question about the machine's state or history, put to the owner or the mechanic.

    `stage` is `safety` (always first), `before` (put before the first step of the sorts in `before`) or `history`
    (asked when worth its minutes). `several` allows several answers.
    """

    id: str
    ask: str
    stage: Literal["safety", "before", "history"]
    topic: str
    minutes: float
    answers: tuple[Answer, ...]
    several: bool
    because: str
    source: str
    place: Place = NOWHERE
    before: tuple[Bar, ...] = ()


@dataclass(frozen=True, slots=True)
class Code:
    """A trouble code as a controller shows it: what is wrong (`spn`), how (any of `fmis`), and what that tells here.

    `name` is the plain name of the SPN, `says` what the controller has seen. `shifts` are odds, as those of an answer;
    of all codes and answers of one `topic` only the strongest counts.
    """

    id: str
    name: str
    spn: int
    fmis: tuple[int, ...]
    says: str
    topic: str
    shifts: tuple[Shift, ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Complaint:
    """What the dead machine does; `sees` are the (check, finding) pairs that make it up.

    Without any, what is wrong does not stand still, so the circuit cannot show it: rules alone speak of it. `there` is
    the chance that a reading finds it there, below 1 where it comes and goes. `hears` are phrases that may mean it.
    `mistaken` are complaints that people tell instead of it, each with the share of them who do.
    """

    id: str
    name: str
    sees: tuple[tuple[str, str], ...]
    place: Place = NOWHERE
    there: float = 1.0
    hears: tuple[str, ...] = ()
    mistaken: tuple[tuple[str, float], ...] = ()
