"""What a job's log says, step by step, and what of it still stands.

A step is one thing the mechanic entered, one record a kind. Nothing is ever taken out of the log: going back and
changing an answer are steps themselves. `standing` folds the log to the steps that count now, in the order in which
they were first given.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from coldiron.readings.refusal import NOT_FITTED, UNKNOWN
from coldiron.record import dataclass, replace

StepKind = Literal[
    "answer", "read", "ack", "change", "back", "note", "repair", "park", "pause", "again", "untold", "card"
]


@dataclass(frozen=True, slots=True)
class AnswerStep:
    """The question `id` was answered as it was asked; `value` is what was typed."""

    id: str
    value: str
    kind: Literal["answer"] = "answer"


@dataclass(frozen=True, slots=True)
class ReadingStep:
    """A reading of the check, page or code `id` that nobody asked for; `value` is what was typed."""

    id: str
    value: str
    kind: Literal["read"] = "read"


@dataclass(frozen=True, slots=True)
class AcknowledgeStep:
    """Cautions were acknowledged before a step by the word that was typed."""

    cautions: tuple[str, ...]
    before: str
    word: str
    kind: Literal["ack"] = "ack"


@dataclass(frozen=True, slots=True)
class ChangeStep:
    """The earlier answer `id`, or `id@epoch`, is to be another."""

    id: str
    value: str
    kind: Literal["change"] = "change"


@dataclass(frozen=True, slots=True)
class BackStep:
    """The latest step is taken back."""

    kind: Literal["back"] = "back"


@dataclass(frozen=True, slots=True)
class NoteStep:
    """Something was noted."""

    text: str
    kind: Literal["note"] = "note"


@dataclass(frozen=True, slots=True)
class RepairStep:
    """A fault was repaired (`done`), or not (`no`), or is to be (`next`) once the cautions of it are acknowledged."""

    fault: str
    word: str
    kind: Literal["repair"] = "repair"


@dataclass(frozen=True, slots=True)
class ParkStep:
    """The job was parked."""

    kind: Literal["park"] = "park"


@dataclass(frozen=True, slots=True)
class PauseStep:
    """Nothing was done for so long that a caution has to be read in full again."""

    kind: Literal["pause"] = "pause"


@dataclass(frozen=True, slots=True)
class AgainStep:
    """A check is to be taken once more."""

    check: str
    kind: Literal["again"] = "again"


@dataclass(frozen=True, slots=True)
class CardStep:
    """A line that the job took from the machine's card, or what was noted or decided for it."""

    id: str
    value: str
    kind: Literal["card"] = "card"


@dataclass(frozen=True, slots=True)
class UntoldStep:
    """Nobody knows how what the step `id` moved stands now: in no log, only in what it is folded to."""

    id: str
    kind: Literal["untold"] = "untold"


Answered = AnswerStep | ReadingStep
"""What was said of a question or a check."""

Step = (
    AnswerStep
    | ReadingStep
    | AcknowledgeStep
    | ChangeStep
    | BackStep
    | NoteStep
    | RepairStep
    | ParkStep
    | PauseStep
    | AgainStep
    | UntoldStep
    | CardStep
)
"""One entry of the log; `kind` names each in the job file."""

KEPT = (NoteStep, ParkStep, PauseStep, UntoldStep, CardStep)
"""Steps that going back does not take away."""

SET = "set."
"""Before the name of a setting: the id of the question whether it has been put to a value."""

MARK = PauseStep()
"""Stands behind whatever was taken back or changed: what was typed before a step was typed before another one."""


def standing(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps that count, after every `back` and `change` has been applied.

    `back` undoes the latest entry that is still undone by nothing, be it an answer or a change of an earlier one.
    """
    return tuple(step for step in folded(steps) if step is not MARK and not isinstance(step, UntoldStep))


def folded(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps that count, with a `MARK` in each place where something was taken back or changed.

    Who takes back that a thing was set, or a step taken, has had his hands on it: an `UntoldStep` says that nobody
    knows how what it moved stands now.
    """
    kept: tuple[Step, ...] = ()
    past: list[tuple[Step, ...]] = []
    for step in steps:
        if isinstance(step, BackStep):
            before = past.pop() if past else kept
            left = [_left(step) for step in kept[len(before) :]]
            kept = (*before, *(step for step in left if step is not None), MARK)
            continue
        after = _changed(kept, step) if isinstance(step, ChangeStep) else (*kept, step)
        if not isinstance(step, KEPT) and after != kept:
            past.append(kept)
        kept = (*after, MARK) if isinstance(step, ChangeStep) else after
    return kept


def _left(step: Step) -> Step | None:
    """What is left of a step that is taken back."""
    if isinstance(step, KEPT):
        return step
    if isinstance(step, AnswerStep) and step.value not in (*UNKNOWN, NOT_FITTED):
        return UntoldStep(step.id)
    return None


def _changed(kept: tuple[Step, ...], step: ChangeStep) -> tuple[Step, ...]:
    """The new value in the place of the old one, so that every later answer keeps its place."""
    index = find_answer(kept, step.id)
    if index is None:
        return kept
    return (*kept[:index], replace(answered_at(kept, index), value=step.value), *kept[index + 1 :])


def find_answer(kept: Sequence[Step], name: str) -> int | None:
    """Where the answer called `name` (or `name@epoch`, epochs from 0) stands in the log; the latest if several."""
    wanted, _, epoch_text = name.partition("@")
    epoch = 0
    found = None
    for index, step in enumerate(kept):
        if is_repaired(step):
            epoch += 1
        elif isinstance(step, Answered) and step.id == wanted and epoch_text in ("", str(epoch)):
            found = index
    return found


def answered_at(kept: Sequence[Step], index: int) -> Answered:
    """The answer that `find_answer` has found."""
    match kept[index]:
        case (AnswerStep() | ReadingStep()) as step:
            return step
    raise LookupError(f"step {index} of the log is no answer")


def is_repaired(step: Step) -> bool:
    """Whether a step says that a repair is done: then another epoch begins."""
    return isinstance(step, RepairStep) and step.word == "done"
