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
from coldiron.readings.heard import sort_heard
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
        """Read a choice, words that name a sort, or that nobody knows."""
        if text.lower() in UNKNOWN:
            return NOT_SURE[0]
        try:
            return choose(text, asked.pairs)
        except AnswerError:
            heard = sort_heard(state.book, text)
            if not heard:
                raise
            return heard

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write the answer; or the volts, or the circuit, that were named instead."""
        volts = text.lower().removesuffix("v").removesuffix("volts").strip()
        if volts != text and volts in {str(circuit.volts) for circuit in state.book.circuits.values()}:
            return AnswerStep(VOLTS, volts)
        circuit = circuit_meant(state, text) if text not in asked.choices else ""
        return AnswerStep(CIRCUIT, circuit) if circuit else super().step(state, asked, text, sure=sure)

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was said of the machine."""
        say(state, step.id, step.value)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the sort by its name."""
        known = state.book.usual
        return "The machine is:", known[value].name if value in known else value
