"""Symptom: the complaint, of those that a machine of its sort can give cause for."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT
from coldiron.job.question import Question
from coldiron.job.state import NOT_SURE, State, Taken
from coldiron.job.steps import Answered
from coldiron.machine.complaining import complaints_of, tells_of_cranking
from coldiron.machine.describing import may_come_of
from coldiron.machine.fitting import FITTED
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.findings import Understood
from coldiron.readings.heard import hears

NO_FUEL_FAULTS = "Not covered here: an engine that cranks at normal speed and does not start (fuel, air, stop device)."

WHY = "Its behavior at OFF, ON and START shows which half of the machine to look at."

OWN_WORDS = "Type what else you were told in any words first, such as: told we washed it Friday."


def ask_complaint(state: State) -> Question:
    """What the machine does."""
    others = {name: value for name, value in state.said.items() if name != FITTED}
    known = complaints_of(state.book, state.circuit, may_come_of(state.book, others))
    said = state.heard.get(COMPLAINT)
    covers = "" if tells_of_cranking(state.book, known) else f" {NO_FUEL_FAULTS}"
    covers += f" {OWN_WORDS}" if hears(state.book) else ""
    return Question(
        id=COMPLAINT,
        kind="intake",
        text=f"What does the machine do at each key position? Pick the closest.{covers}",
        choices=(*(c.id for c in known), NOT_SURE[0]),
        meanings=(*(c.name for c in known), "none of these, or nobody saw it"),
        minutes=1.0,
        why=f"You said '{said.phrase}'. That may be: {said.meaning}." if said else WHY,
    )


class WhatItDoes(KindOfQuestion):
    """What the machine does at each key position."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the complaint."""
        return name == COMPLAINT

    def ask(self, state: State, name: str) -> Question:
        """Ask for what this sort of machine can show."""
        return ask_complaint(state)

    def apply(self, state: State, step: Answered) -> None:
        """Keep it; what it says of checks is evidence."""
        if step.value in state.book.complaints:
            state.complaint = step.value
            state.present.taken[COMPLAINT] = Taken(step.value, Understood(step.value), asked=True)
        else:
            state.complaint = "unclear"

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell it by its name."""
        known = state.book.complaints
        return "Symptom:", known[value].name if value in known else value
