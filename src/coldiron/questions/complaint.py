"""Symptom: the complaint, of those that a machine of its sort can give cause for."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT
from coldiron.book.variants import circuit_named
from coldiron.job.card import CARD, CHANGED, as_on_card, go_by_card
from coldiron.job.question import Question
from coldiron.job.state import NOT_SURE, State, Taken
from coldiron.job.steps import Answered, AnswerStep, Step
from coldiron.machine.complaining import complaints_of, tells_of_cranking
from coldiron.machine.describing import may_come_of
from coldiron.machine.fitting import FITTED, HAS, USUAL
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose
from coldiron.readings.findings import Understood
from coldiron.readings.heard import MayMean, hears
from coldiron.readings.refusal import AnswerError
from coldiron.record import replace

NO_FUEL_FAULTS = "Not covered here: an engine that cranks at normal speed and does not start (fuel, air, stop device)."

ASK = "What does the machine do at each key position? Pick the closest."

WHY = "Its behavior at OFF, ON and START shows which half of the machine to look at."

OWN_WORDS = "Type what else you were told in any words first, such as: told we washed it Friday."


def ask_complaint(state: State) -> Question:
    """What the machine does; what the owner's own words may mean stands first."""
    others = {name: value for name, value in state.said.items() if name != FITTED}
    known = complaints_of(state.book, state.circuit, may_come_of(state.book, others))
    said = state.heard.get(COMPLAINT)
    covers = "" if tells_of_cranking(state.book, known) else f" {NO_FUEL_FAULTS}"
    covers += f" {OWN_WORDS}" if hears(state.book) and not said else ""
    meant = [one for one in known if said and one.id in said.answers]
    known = (*meant, *(one for one in known if one not in meant))
    return Question(
        id=COMPLAINT,
        kind="intake",
        text=f"{_of_words(said, len(meant))}{ASK}{covers}",
        choices=(*(c.id for c in known), NOT_SURE[0]),
        meanings=(*(c.name for c in known), "none of these, or nobody saw it"),
        minutes=1.0,
        why=WHY,
    )


def _of_words(said: MayMean | None, count: int) -> str:
    """What the owner's words may mean, as the page begins with it: so many of the choices, which stand first."""
    if said is None or not count:
        return ""
    first = "the first" if count == 1 else f"one of the first {count}"
    return f"You said '{said.phrase}'. That may be {first} of these. "


def ask_on_card(state: State) -> Question:
    """What a machine does that is known by its card: who goes on says with it that it is still as on the card.

    Args:
        state: as it is with the kind of machine on the card.
    """
    asked = ask_complaint(state)
    return replace(
        asked,
        text=f"As on its card: {kind_in_words(state)}. If that has changed, type: {CHANGED}. {asked.text}",
        choices=(*asked.choices, CHANGED),
        meanings=(*asked.meanings, "the machine is not as on its card any more"),
    )


def kind_in_words(state: State) -> str:
    """The kind of a machine in a line: its sort or its circuit, volts, and what was said of it besides."""
    book = state.book
    circuit = circuit_named(book, state.circuit)
    sort = book.usual[state.said[USUAL]].name if state.said.get(USUAL) in book.usual else ""
    name = circuit.name if circuit and not state.taken else ""
    has = [
        f"{feature.name} ({state.said[HAS + feature.id]})"
        for feature in book.features.values()
        if HAS + feature.id in state.said
    ]
    has += [book.options[one].name for one in state.said.get(FITTED, "").split(",") if one in book.options]
    more = [f"and {len(has) - MOST_TOLD} more"] if len(has) > MOST_TOLD else []
    return ", ".join(filter(None, (sort, name, f"{state.volts} V", *has[:MOST_TOLD], *more)))


MOST_TOLD = 4
"""Things that a machine has which are named in its line."""


class WhatItDoes(KindOfQuestion):
    """What the machine does at each key position."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the complaint."""
        return name == COMPLAINT

    def ask(self, state: State, name: str) -> Question:
        """Ask for what this sort of machine can show."""
        on_card = as_on_card(state)
        return ask_on_card(on_card) if on_card else ask_complaint(state)

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write the answer; or that the machine is not as on its card."""
        if CHANGED in asked.choices and choose(text, asked.pairs) == CHANGED:
            return AnswerStep(CARD, CHANGED)
        return super().step(state, asked, text, sure=sure)

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read what it does, which the machine's card is no part of."""
        found = super().read(state, asked, text, sure=sure)
        if found == CHANGED and CHANGED in asked.choices:
            raise AnswerError("not now", "To tell the machine again, type: card changed")
        return found

    def apply(self, state: State, step: Answered) -> None:
        """Keep it; what it says of checks is evidence."""
        go_by_card(state)
        if step.value in state.book.complaints:
            state.complaint = step.value
            state.present.taken[COMPLAINT] = Taken(step.value, Understood(step.value), asked=True)
        else:
            state.complaint = "unclear"

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell it by its name."""
        known = state.book.complaints
        return "Symptom:", known[value].name if value in known else value
