"""A log folded to the state of its job. What an entry changes is told by its kind of question."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from coldiron.book.book import Book
from coldiron.job import acknowledged
from coldiron.job.acknowledged import Acks
from coldiron.job.at_machine import park
from coldiron.job.card import take_line
from coldiron.job.reported import all_normal
from coldiron.job.state import Epoch, State
from coldiron.job.steps import (
    MARK,
    AcknowledgeStep,
    AgainStep,
    Answered,
    AnswerStep,
    BackStep,
    CardStep,
    ChangeStep,
    NoteStep,
    ParkStep,
    PauseStep,
    ReadingStep,
    RepairStep,
    Step,
    UntoldStep,
    folded,
)
from coldiron.questions.table import CAUTION, REPAIR, kind_of
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import replace


def replay(book: Book, steps: Iterable[Step]) -> State:
    """Fold a log to the state of its job. Never raises on a log that was accepted when it was written."""
    steps = tuple(steps)
    state = State(book, log=steps)
    state.settings = all_normal(book)
    for step in folded(steps):
        _apply(state, step)
    return state


def state_after(state: State, step: Step) -> State:
    """The state after one step more, which is no `back` and no `change`; the state before it is left as it was."""
    more = replace(
        state,
        said=dict(state.said),
        questions=dict(state.questions),
        heard=dict(state.heard),
        epochs=[*state.epochs[:-1], _copied(state.present)],
        declined=set(state.declined),
        opened=set(state.opened),
        codes=list(state.codes),
        notes=list(state.notes),
        held=dict(state.held),
        log=(*state.log, step),
    )
    _apply(more, step)
    return more


def _copied(epoch: Epoch) -> Epoch:
    """The present epoch goes on; those before it are over and nobody adds to them."""
    taken, shown = dict(epoch.taken), dict(epoch.shown)
    return replace(epoch, taken=taken, shown=shown, pages=set(epoch.pages), again=set(epoch.again))


def _apply(state: State, step: Step) -> None:
    state.parked = False
    match step:
        case ParkStep():
            park(state)
        case NoteStep() | CardStep():
            _write_down(state, step)
        case AgainStep(check):
            state.once_more = check
        case PauseStep():
            state.acks = Acks() if step is MARK else acknowledged.paused(state.book, state.acks)
        case AcknowledgeStep():
            CAUTION.acknowledge(state, step)
        case RepairStep():
            REPAIR.mend(state, step)
        case AnswerStep() | ReadingStep():
            _take_in(state, step)
        case UntoldStep(name):
            _take_back(state, name)
        case BackStep() | ChangeStep():
            pass  # they are folded away before
        case _:
            assert_never(step)


def _write_down(state: State, step: NoteStep | CardStep) -> None:
    if isinstance(step, CardStep):
        take_line(state, step)
    else:
        state.notes.append(step.text)


def _take_in(state: State, step: Answered) -> None:
    if kind := kind_of(state.book, step.id):  # a newer book may have nothing of that name
        kind.apply(state, step)
        left = kind.leaves(step)
        also = kind_of(state.book, left) if left else None
        if also is not None and also.reading:
            also.apply(state, ReadingStep(left, UNKNOWN[0]))


def _take_back(state: State, name: str) -> None:
    if kind := kind_of(state.book, name):
        kind.take_back(state, name)
