"""Which stage of the job a page belongs to, and how far the job has come."""

from __future__ import annotations

from coldiron.book.history import COMPLAINT
from coldiron.job.question import Question
from coldiron.job.state import HAND_BACK
from coldiron.job.steps import SET
from coldiron.machine.duties import duties_of, is_page
from coldiron.telling.so_far import SoFar

STAGES = ("machine", "symptom", "checks", "fix", "proof", "hand back")
"""The stages of a job, in their order."""


def stage_in_words(consultation: SoFar, asked: Question) -> str:
    """The stage by its number and name, with how much of it is done, as in "Stage 3 of 6: checks, 2 done"."""
    return stage_alone(consultation, asked) + _far(consultation, stage_of(consultation, asked))


def stage_alone(consultation: SoFar, asked: Question) -> str:
    """The stage by its number and name, where room is short."""
    stage = stage_of(consultation, asked)
    return f"Stage {STAGES.index(stage) + 1} of {len(STAGES)}: {stage}"


def stage_of(consultation: SoFar, asked: Question) -> str:
    """The stage that a question belongs to; a setting belongs to the step that it is set for."""
    state = consultation.state
    step = asked.step or asked.id
    if asked.id == COMPLAINT:
        return "symptom"
    if not state.circuit:
        return "machine"
    if step in consultation.book.faults:
        return "fix"
    if step == HAND_BACK or is_page(step) or step.startswith(SET):
        return "hand back"
    return "proof" if asked.kind == "proof" else "checks"


def _far(consultation: SoFar, stage: str) -> str:
    """How much of a stage is done; nothing where it has but one page."""
    state = consultation.state
    if stage == "checks":
        done = sum(
            bool(taken.understood.finding)
            for epoch in state.epochs
            for name, taken in epoch.taken.items()
            if name != COMPLAINT
        )
        return f", {done} done" if done else ""
    if stage == "hand back":
        wanted = len(duties_of(state.book, state.circuit))
        return f", {len(state.present.shown)} of {wanted} shown" if wanted else ""
    done = sum(bool(epoch.repaired) for epoch in state.epochs)
    return f", {done} done before" if stage == "fix" and done else ""
