"""What a job's log says, step by step, and what of it still stands.

A step is one thing the mechanic entered. Nothing is ever taken out of the log: going back and changing an answer are
steps themselves. `standing` folds the log to the steps that count now, in the order in which they were first given.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from coldiron.readings.refusal import NOT_FITTED, UNKNOWN
from coldiron.record import dataclass, replace

StepKind = Literal["answer", "read", "ack", "change", "back", "note", "repair", "park", "pause", "again", "untold"]

KEPT = ("note", "park", "pause", "untold")
"""Steps that going back does not take away."""


@dataclass(frozen=True, slots=True)
class Step:
    """One entry of the log.

    answer(id=question, value) as asked · read(id=check, value) a reading given unasked ·
    ack(id=cautions by commas, `@` and the step they stand before, value=typed) ·
    again(id=check) one that is to be taken once more ·
    change(id=earlier answer, or `id@epoch`, value) · back() · note(value) · park() ·
    pause() nothing was done for so long that a caution has to be read in full again · untold(id=`set.` and a setting,
    or a step) in no log, only in what it is folded to ·
    repair(id=fault, value=`done`, `no`, or `next`: to be done now, once its cautions are acknowledged). Values are what
    was typed.
    """

    kind: StepKind
    id: str = ""
    value: str = ""


SET = "set."
"""Before the name of a setting: the id of the question whether it has been put to a value."""

MARK = Step("pause")
"""Stands behind whatever was taken back or changed: what was typed before a step was typed before another one."""


def standing(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps that count, after every `back` and `change` has been applied.

    `back` undoes the latest entry that is still undone by nothing, be it an answer or a change of an earlier one.
    """
    return tuple(step for step in folded(steps) if step is not MARK and step.kind != "untold")


def folded(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps that count, with a `MARK` in each place where something was taken back or changed.

    Who takes back that a thing was set, or a step taken, has had his hands on it: an `untold` step says that nobody
    knows how what it moved stands now.
    """
    kept: tuple[Step, ...] = ()
    past: list[tuple[Step, ...]] = []
    for step in steps:
        if step.kind == "back":
            before = past.pop() if past else kept
            gone = kept[len(before) :]
            kept = (*before, *filter(None, (_left(step) for step in gone)), MARK)
            continue
        after = _changed(kept, step) if step.kind == "change" else (*kept, step)
        if step.kind not in KEPT and after != kept:
            past.append(kept)
        kept = (*after, MARK) if step.kind == "change" else after
    return kept


def _left(step: Step) -> Step | None:
    """What is left of a step that is taken back."""
    if step.kind in KEPT:
        return step
    return Step("untold", step.id) if step.kind == "answer" and step.value not in (*UNKNOWN, NOT_FITTED) else None


def _changed(kept: tuple[Step, ...], step: Step) -> tuple[Step, ...]:
    """The new value in the place of the old one, so that every later answer keeps its place."""
    index = find_answer(kept, step.id)
    if index is None:
        return kept
    return (*kept[:index], replace(kept[index], value=step.value), *kept[index + 1 :])


def find_answer(kept: Sequence[Step], name: str) -> int | None:
    """Where the answer called `name` (or `name@epoch`, epochs from 0) stands in the log; the latest if several."""
    wanted, _, epoch_text = name.partition("@")
    epoch = 0
    found = None
    for index, step in enumerate(kept):
        if step.kind == "repair" and step.value == "done":
            epoch += 1
        elif step.kind in ("answer", "read") and step.id == wanted and epoch_text in ("", str(epoch)):
            found = index
    return found
