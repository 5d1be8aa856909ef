"""Steps of the log as rows of the job file, and back: kind, id, value. Only here it is known how they are written."""

from __future__ import annotations

from collections.abc import Callable
from typing import assert_never

from coldiron.job.steps import (
    AcknowledgeStep,
    AgainStep,
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
    StepKind,
    UntoldStep,
)


def row_of(step: Step) -> tuple[StepKind, str, str]:
    """Return kind, id and value of a step."""
    match step:
        case AnswerStep() | ReadingStep() | ChangeStep() | CardStep():
            return step.kind, step.id, step.value
        case AcknowledgeStep(cautions, before, word):
            return step.kind, f"{','.join(cautions)}@{before}", word
        case NoteStep(text):
            return step.kind, "", text
        case RepairStep(fault, word):
            return step.kind, fault, word
        case AgainStep(check):
            return step.kind, check, ""
        case BackStep() | ParkStep() | PauseStep():
            return step.kind, "", ""
        case UntoldStep(name):
            return step.kind, name, ""
        case _:
            assert_never(step)


def _acknowledged(name: str, value: str) -> AcknowledgeStep:
    """The ids of the cautions stand with commas between them, then `@`, then the step they stand before."""
    cautions, _, before = name.partition("@")
    return AcknowledgeStep(tuple(cautions.split(",")), before, value)


_FORMS: dict[StepKind, Callable[[str, str], Step]] = {
    "answer": AnswerStep,
    "read": ReadingStep,
    "ack": _acknowledged,
    "change": ChangeStep,
    "back": lambda _, __: BackStep(),
    "note": lambda _, value: NoteStep(value),
    "repair": RepairStep,
    "park": lambda _, __: ParkStep(),
    "pause": lambda _, __: PauseStep(),
    "again": lambda name, _: AgainStep(name),
    "card": CardStep,
}

KINDS: tuple[StepKind, ...] = tuple(_FORMS)
"""The kinds that a job file may have. A step that is only worked out (`UntoldStep`) is never written."""


def step_of(kind: str, name: str, value: str) -> Step | None:
    """Return the step that a row, its kind, id and value, tells of; None for a kind that this version does not know."""
    return next((form(name, value) for known, form in _FORMS.items() if known == kind), None)
