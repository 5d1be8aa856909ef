"""The opening: safety, its cautions, the machine, the complaint, the kit."""

from __future__ import annotations

from coldiron.book.variants import circuit_named
from coldiron.job.card import as_on_card
from coldiron.job.dangers import shown_now, standing_dangers
from coldiron.job.question import Question
from coldiron.job.state import State
from coldiron.job.warned import waiting_for, warned_by_answers
from coldiron.machine.describing import next_feature
from coldiron.machine.fitting import FITTED, USUAL, VOLTS
from coldiron.questions.caution import ask_caution
from coldiron.questions.complaint import ask_complaint, ask_on_card
from coldiron.questions.fitted import ask_fitted
from coldiron.questions.kit import ask_kit
from coldiron.questions.machine import ask_circuit, ask_feature, ask_last_time, ask_volts
from coldiron.questions.now import ask_now
from coldiron.questions.story import ask_story
from coldiron.questions.told import ask_heard
from coldiron.questions.usual import ask_usual


def intake(state: State, before: str = "") -> Question | None:
    """The compulsory opening: safety, its cautions, the machine, the complaint, the kit. None once all is answered.

    Args:
        state: what was answered.
        before: the circuit of the machine on an earlier job, if it is known.
    """
    for asked in state.book.questions.values():
        if asked.stage == "safety" and asked.id not in state.questions:
            return ask_story(asked)
    at_once = shown_now(state, standing_dangers(state)) if state.kit is None else None
    if at_once:
        return ask_now(at_once)
    opening = not state.circuit
    due = warned_by_answers(state.book, state) if opening else ()
    if due and (open_ones := waiting_for(state, due, "")):
        return ask_caution(open_ones, "what you said of how the machine stands")
    if state.kit is None and (of_words := ask_heard(state)):
        return of_words
    if not state.circuit:
        on_card = as_on_card(state) if not state.complaint else None
        return ask_on_card(on_card) if on_card else _machine(state, before)
    if not state.complaint:
        return ask_complaint(state)
    if _may_have_more(state) and (besides := ask_fitted(state)):
        return besides
    if state.kit is None:
        return ask_kit(state)
    return None


def _may_have_more(state: State) -> bool:
    """Whether it is time to ask what else the machine has: of one that is known by its card only after a check."""
    if state.of_card:
        return state.has_read and len(state.epochs) == 1 and (FITTED not in state.said or FITTED in state.of_card)
    return state.kit is None and FITTED not in state.said


def _machine(state: State, before: str) -> Question:
    """What is asked to find it: that of last time, its sort, the volts, what tells most, at last the list."""
    if not state.said and circuit_named(state.book, before):
        return ask_last_time(state, before)
    if state.book.usual and len(state.book.circuits) > 1 and not state.said.keys() & {USUAL, VOLTS}:
        return ask_usual(state)
    if not state.volts:
        return ask_volts(state)
    feature = next_feature(state.book, state.said)
    return ask_feature(state, feature) if feature else ask_circuit(state)
