"""The log of a job in words, a line an entry: what was asked, what was said, how the machine stood, by which limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from coldiron.book.book import Book
from coldiron.book.checks import UNITS, Check
from coldiron.book.history import COMPLAINT, TOLD
from coldiron.consult.naming import asked_and_said
from coldiron.job.rows import step_of
from coldiron.job.state import HAND_BACK, State, Taken
from coldiron.job.steps import (
    SET,
    AcknowledgeStep,
    AgainStep,
    Answered,
    BackStep,
    CardStep,
    ChangeStep,
    NoteStep,
    ParkStep,
    RepairStep,
    Step,
    find_answer,
    standing,
)
from coldiron.jobs.log import Event
from coldiron.machine.duties import is_page
from coldiron.questions.check import good_in_words
from coldiron.record import dataclass
from coldiron.telling.so_far import SoFar

Sort = Literal["machine", "story", "reading", "caution", "set", "fix", "shown", "note", "log"]


@dataclass(frozen=True, slots=True)
class LogLine:
    """One entry of the log in words.

    `number` counts all entries of the log from 1, `at` is when it was committed (UTC). Of a reading, `stands` says how
    the machine stood for it, `limits` what a sound one reads, `fits` how the two compare. `struck` says what became of
    an entry that does not count any more; `why` is for who learns from the job.
    """

    number: int
    at: str
    sort: Sort
    asked: str
    said: str
    stands: str = ""
    limits: str = ""
    fits: str = ""
    struck: str = ""
    why: str = ""

    @property
    def clock(self) -> str:
        """Day and minute of the entry."""
        return self.at[:16].replace("T", " ")


def log_lines(course: Sequence[SoFar], events: Sequence[Event], *, reasons: bool = False) -> tuple[LogLine, ...]:
    """Return the log of a job in words.

    Args:
        course: the job before its first entry and after each.
        events: the log as committed.
        reasons: with why each check was asked for at that moment, which is worked out anew.
    """
    return tuple(_lines(course, events, reasons=reasons))


def _lines(course: Sequence[SoFar], events: Sequence[Event], *, reasons: bool) -> Iterator[LogLine]:
    kept = [event for event in events if step_of(event.kind, event.id, event.value)]
    last = course[-1].state
    counts = standing(course[-1].steps)
    for event, before, now in zip(kept, course, course[1:], strict=False):
        step = now.steps[-1]
        sort, asked, said = _in_words(now, before, step)
        stands = limits = fits = ""
        if sort == "reading":
            stands, limits, fits = _judged(last, now.state, step)
            said = with_unit(now.book.checks[getattr(step, "id", "").partition("@")[0]], said)
        struck = _struck(step, counts)
        why = before.next.why if reasons and before.next and before.next.id == getattr(step, "id", "") else ""
        yield LogLine(event.seq, event.at, sort, asked.replace("?:", "?"), said, stands, limits, fits, struck, why)


def _in_words(now: SoFar, before: SoFar, step: Step) -> tuple[Sort, str, str]:
    book = now.book
    match step:
        case ChangeStep(name, value):
            asked, said = asked_and_said(now, name, value)
            return _sort_of(book, name.partition("@")[0]), f"Changed. {asked}", said
        case RepairStep(fault, word):
            named = book.faults[fault].name if fault in book.faults else fault
            return "fix", named, {"done": "done", "no": "not this one, or not now"}.get(word, "to be done")
        case AcknowledgeStep():
            return "caution", _before_what(before, step), step.word
        case NoteStep(text):
            return "note", "Note:", text
        case AgainStep(check):
            return "log", "To be read once more:", book.checks[check].ask if check in book.checks else check
        case CardStep(name, value):
            return "log", f"On the card of the machine ({name}):", value
        case BackStep():
            return "log", "The entry before was taken back.", ""
        case ParkStep():
            return "log", "Parked.", ""
        case _ if isinstance(step, Answered):
            return _sort_of(book, step.id), *asked_and_said(now, step.id, step.value)
    return "log", "A pause: every caution is read in full again.", ""


def _sort_of(book: Book, name: str) -> Sort:
    """Under which heading of a paper an answer stands."""
    if name in book.checks:
        return "reading"
    if is_page(name) or name == HAND_BACK:
        return "shown"
    if name.startswith(SET):
        return "set"
    return "story" if name in book.questions or name == COMPLAINT or name.partition(".")[0] == TOLD else "machine"


def _before_what(before: SoFar, step: AcknowledgeStep) -> str:
    """What could hurt, and before what it was read."""
    book = before.book
    hazards = [book.cautions[name] for name in step.cautions if name in book.cautions]
    said = " ".join(f"{caution.word}: {caution.hazard.rstrip('.')}." for caution in hazards)
    return said or ", ".join(step.cautions)


def _judged(last: State, then: State, step: Step) -> tuple[str, str, str]:
    """How the machine stood for a reading, what a sound one reads, and how what was read compares."""
    name, _, epoch = getattr(step, "id", "").partition("@")
    check = then.book.checks[name]
    taken = _taken(then, name, epoch) or _taken(last, name, "0")
    limits = good_in_words(last, check) if last.circuit else ""
    if taken is None or not taken.understood.tells:
        return _stands(then.book, check), limits, ""
    good = taken.understood.finding == check.good
    measured = check.reads.quantity in UNITS
    if good:
        return _stands(then.book, check), limits, "within limits" if measured else "as it should be"
    finding = next((one for one in check.findings if one.id == taken.understood.finding), None)
    named = finding.id.replace("_", " ") if finding and measured else ""
    words = "outside limits" if measured else "not as it should be"
    return _stands(then.book, check), limits, f"{words}: {named}" if named else words


def with_unit(check: Check, said: str) -> str:
    """A bare figure with the unit in which it was taken; anything else as it was said."""
    unit = UNITS.get(check.reads.quantity, "")
    bare = said.replace(".", "").replace(",", "").lstrip("+-").isdecimal()
    return f"{said} {unit}" if unit and bare else said


def _taken(state: State, name: str, epoch: str) -> Taken | None:
    number = int(epoch) if epoch.isdecimal() else len(state.epochs) - 1
    return state.epochs[number].taken.get(name) if number < len(state.epochs) else None


def _stands(book: Book, check: Check) -> str:
    """The settings in which a check is made."""
    return "; ".join(f"{book.settings[name].name}: {value}" for name, value in check.state.items())


def _struck(step: Step, counts: Sequence[Step]) -> str:
    """What became of an entry that does not count any more."""
    if isinstance(step, ChangeStep):
        place = find_answer(counts, step.id)
        now = counts[place] if place is not None else None
        return "" if isinstance(now, Answered) and now.value == step.value else "changed again or taken back"
    if isinstance(step, BackStep) or any(step is one for one in counts):
        return ""
    return "changed or taken back later"
