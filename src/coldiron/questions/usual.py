"""What sort of machine it is, as people name it: from a list, or in words."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job.question import Question, ask_from_list
from coldiron.job.saying import say
from coldiron.job.state import NOT_SURE, State
from coldiron.job.steps import Answered, AnswerStep, Step
from coldiron.machine.fitting import CIRCUIT, OTHER, USUAL, VOLTS, of_sort
from coldiron.questions.kind import KindOfQuestion
from coldiron.questions.machine import circuit_meant
from coldiron.readings.choosing import choose
from coldiron.readings.heard import sort_heard, volts_heard
from coldiron.readings.refusal import UNKNOWN, AnswerError


def ask_usual(state: State) -> Question:
    """What it is; who finds it nowhere, or knows better what is wired in it, describes it instead."""
    known = [(one.id, one.name) for one in state.book.usual.values() if of_sort(state.book, one.id)]
    return ask_from_list(
        USUAL,
        "What is it? Choose, or type it in your own words, such as: small tractor.",
        [*known, (OTHER, "none of these")],
        minutes=0.5,
        why="It tells what such a machine usually has. You are asked for the rest once it matters.",
    )


class WhatItIs(KindOfQuestion):
    """What sort of machine it is, as people name it."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question for the sort."""
        return name == USUAL

    def ask(self, state: State, name: str) -> Question:
        """Ask for the sorts of the book."""
        return ask_usual(state)

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read a choice, words that name a sort, with its volts if they were said, or that nobody knows."""
        if text.lower() in UNKNOWN:
            return NOT_SURE[0]
        try:
            return choose(text, asked.pairs)
        except AnswerError:
            sort, volts = _with_volts(text)
            if sort in asked.choices and volts in _volts_of(state.book):
                return f"{sort} {volts}"  # as a log has it
            heard = sort_heard(state.book, text)
            if not heard:
                raise
            volts = volts_heard(text)
            return f"{heard} {volts}" if volts in _volts_of(state.book) else heard

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write the answer; or the volts, or the circuit, that were named instead."""
        volts = text.lower().removesuffix("v").removesuffix("volts").strip()
        if volts != text and volts in _volts_of(state.book):
            return AnswerStep(VOLTS, volts)
        circuit = circuit_meant(state, text) if text not in asked.choices else ""
        return AnswerStep(CIRCUIT, circuit) if circuit else super().step(state, asked, text, sure=sure)

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was said of the machine."""
        sort, volts = _with_volts(step.value)
        say(state, step.id, sort)
        if volts:
            say(state, VOLTS, volts)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the sort by its name, and its volts."""
        known = state.book.usual
        sort, volts = _with_volts(value)
        told = known[sort].name if sort in known else sort
        return "The machine is:", f"{told}, {volts} V" if volts else told


def _with_volts(value: str) -> tuple[str, str]:
    """A sort, and the volts that were said with it; empty where none were."""
    sort, _, volts = value.rpartition(" ")
    return (sort, volts) if volts.isdecimal() else (value, "")


def _volts_of(book: Book) -> set[str]:
    return {str(circuit.volts) for circuit in book.circuits.values()}
