"""The half of a consultation that needs the composed machine: loaded once that is known, and not before."""

from __future__ import annotations

from coldiron.agenda.again import repeatable
from coldiron.agenda.agenda import after_intake
from coldiron.agenda.preparing import repair_question
from coldiron.agenda.proving import is_proven
from coldiron.job.danger_fold import values_said
from coldiron.job.dangers import barred_check, barred_repair, refusal, tells, told_by
from coldiron.job.steps import RepairStep
from coldiron.judging.composing import setup_of
from coldiron.judging.judgement import Judgement
from coldiron.readings.choosing import choose
from coldiron.readings.refusal import AnswerError
from coldiron.telling.reasons import nearest, predicted_answers, why
from coldiron.telling.verdicts import outcome_of

__all__ = [
    "Judgement",
    "after_intake",
    "is_proven",
    "nearest",
    "outcome_of",
    "predicted_answers",
    "refuse_barred",
    "repair_unasked",
    "repeatable",
    "setup_of",
    "why",
]


def refuse_barred(judged: Judgement, check: str, value: str) -> None:
    """Refuse a reading that a standing danger bars, unless it tells of a danger itself or tells nothing.

    Raises:
        AnswerError: it is barred; the sentence says by what.
    """
    state = judged.state
    said = values_said(told_by(state), check, value)
    stands = barred_check(state, state.book.checks[check], judged.dangers)
    if stands and said and not tells(state.book, check, said):
        raise AnswerError("not now", refusal(stands))


def repair_unasked(judged: Judgement | None, fault: str, text: str) -> RepairStep:
    """Write a repair that nobody asked for: it is taken as done once its cautions are acknowledged.

    Raises:
        AnswerError: it is no fault of this machine, a danger bars its repair, or the answer is no choice.
    """
    if judged is None or not judged.setup.may_have(fault):
        raise AnswerError("not now", f"'{fault}' is no fault of this machine.")
    stands = barred_repair(judged.state, fault, judged.dangers)
    if stands and text.lower() != "no":
        raise AnswerError("not now", refusal(stands))
    due = repair_question(judged, fault)
    said = choose(text, (("done", "done"), ("no", "no")))
    return RepairStep(fault, "next" if due.kind != "repair" and said == "done" else said)
