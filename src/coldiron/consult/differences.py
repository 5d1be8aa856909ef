"""Sentences on the changes that an entry brought: new advice, readings that do not fit, conclusions that fell."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coldiron.book.checks import ODD
from coldiron.book.history import COMPLAINT
from coldiron.book.variants import circuit_named
from coldiron.consult.naming import answer_in_words, change_in_words
from coldiron.engine import changes
from coldiron.job.handing import failed
from coldiron.job.shares import in_100
from coldiron.job.steps import (
    AcknowledgeStep,
    Answered,
    AnswerStep,
    BackStep,
    ChangeStep,
    ReadingStep,
    RepairStep,
    answered_at,
    find_answer,
    standing,
)
from coldiron.questions.check import finding_in_words
from coldiron.telling.conclusions import say_gains, say_losses
from coldiron.telling.so_far import SoFar
from coldiron.telling.verdicts import shown_in_words

if TYPE_CHECKING:
    from coldiron.job.state import State
    from coldiron.judging.judgement import Judgement

MOVED = 0.1
"""A suspect whose chance moved by less than this is not mentioned."""

TOLD = ("fact", "allow", "forbid", "warn", "require")
"""Conclusions worth naming when they come or go; the others are seen in what is asked next."""


def differences(before: SoFar, after: SoFar) -> tuple[str, ...]:
    """Sentences for the screen, the most important first."""
    lines = [*_machine(before.state, after.state), *_advice(before.judged, after.judged)]
    if isinstance(after.steps[-1] if after.steps else None, ChangeStep | BackStep) or len(before.steps) == len(
        after.steps
    ):
        lines += _no_longer_so(before, after)
    return (*lines, *_failures(before.state, after.state), *_doubt(before.judged, after.judged))


def _machine(before: State, after: State) -> list[str]:
    """The circuit, where what was said of the machine has made it another."""
    known = circuit_named(after.book, after.circuit)
    if known is None or before.circuit in ("", after.circuit):
        return []
    return [f"The machine is now taken to be: {known.name}, {known.volts} V."]


def _failures(before: State, after: State) -> list[str]:
    """The functions that failed, each with the next thing to do."""
    known = failed(before) if len(before.epochs) == len(after.epochs) else ()
    return [f"Do not hand it back like this ({one.name}): {one.otherwise}" for one in failed(after) if one not in known]


def _advice(before: Judgement | None, after: Judgement | None) -> list[str]:
    if after is None:
        return []
    known = {advice.text for advice in before.directives.advice} if before else set()
    return [advice.text for advice in after.directives.advice if advice.text not in known]


def _doubt(before: Judgement | None, after: Judgement | None) -> list[str]:
    """The answer to take again, when the answers no longer fit together."""
    found = after.contradiction if after else None
    if found is None or after is None or (before and before.contradiction == found):
        return []
    book = after.state.book
    if found.check == COMPLAINT:
        return ["The readings do not fit the symptom. Try the key yourself, and change the symptom if it was wrong."]
    check = book.checks[found.check]
    place = after.likelier_than(found)
    instead = finding_in_words(after.state, check, check.findings[place]) if place < len(check.findings) else ODD
    shown = shown_in_words(after.state, found.check, found.epoch)
    sentence = (
        f"The readings do not fit together. Most likely wrong: {shown}. "
        f"By the other readings it should be: {instead}. Take it again another way. If it was wrong, type: change."
    )
    return [sentence]


def _no_longer_so(before: SoFar, after: SoFar) -> list[str]:
    lines = _changed(before, after) or _taken_back(before, after)
    old, new = before.judged, after.judged
    if old is not None and new is not None and old.setup is new.setup:
        lines += _conclusions(old, new)
    lines += _suspects(before, after)
    if before.verdict.status == "cause" and before.verdict.faults != after.verdict.faults:
        names = ", ".join(
            before.book.faults[name].name for name, _ in before.verdict.faults if name in before.book.faults
        )
        lines.append(f"No longer named as the cause: {names}.")
    if before.next is not None and after.next is not None and before.next.id != after.next.id:
        lines.append("The next step has changed.")
    return lines


def _changed(before: SoFar, after: SoFar) -> list[str]:
    """The answer that was changed, with what it was and what it is, and whether the answers fit together again."""
    step = after.steps[-1] if len(after.steps) > len(before.steps) else None
    if not isinstance(step, ChangeStep):
        return []

    kept = standing(before.steps)
    place = find_answer(kept, step.id)
    old = answered_at(kept, place).value if place is not None else ""
    lines = [f"Changed: {change_in_words(after, step.id, old, step.value)}."]
    if before.judged and before.judged.contradiction and after.judged and not after.judged.contradiction:
        lines.append("The readings fit together again.")
    return lines


def _taken_back(before: SoFar, after: SoFar) -> list[str]:
    """The answer that going back removed, or set back to its value before a change."""
    old, new = standing(before.steps), standing(after.steps)
    place = next((n for n, step in enumerate(old) if n >= len(new) or step != new[n]), None)
    if place is None:
        return []
    gone = old[place]
    now = new[place] if place < len(new) else None
    match gone:
        case AnswerStep(name, value) | ReadingStep(name, value):
            if isinstance(now, Answered) and now.id == name:
                return [f"Changed back: {change_in_words(after, name, value, now.value)}."]
            return [f"Taken back: {answer_in_words(after, name, value)}."]
        case RepairStep(fault) if fault in after.book.faults:
            return [f"Taken back: the fix for {after.book.faults[fault].name}."]
        case AcknowledgeStep():
            return [f"Taken back: '{gone.word}'."]
    return []


def _conclusions(old: Judgement, new: Judgement) -> list[str]:

    changed = changes(old.directives.result, new.directives.result)
    lost = say_losses(new.state, [loss for loss in changed.lost if loss.fact[0] in TOLD])
    return lost + say_gains(new.state, [step for step in changed.gained if step.fact[0] in TOLD])


def _suspects(before: SoFar, after: SoFar) -> list[str]:
    """Suspects whose chances moved much, the furthest first."""
    old, new = dict(before.suspects), dict(after.suspects)
    moved = sorted(
        ((new.get(name, 0.0) - old.get(name, 0.0), name) for name in {*old, *new} if name in after.book.faults),
        key=lambda item: (-round(abs(item[0]), 6), item[1]),
    )
    return [
        f"{after.book.faults[name].name}: {in_100(old.get(name, 0.0))} before, {in_100(new.get(name, 0.0))} now."
        for by, name in moved[:3]
        if abs(by) >= MOVED
    ]
