"""What the machine does: the complaint, of those that a machine of its sort can give cause for."""

from __future__ import annotations

from coldiron.job.question import Question
from coldiron.job.state import NOT_SURE, State, Taken
from coldiron.job.steps import Step
from coldiron.machine.complaining import complaints_of, tells_of_cranking
from coldiron.model import COMPLAINT, Book
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.findings import Understood

NO_FUEL_FAULTS = (
    "This book knows no faults of fuel, air or stop device of such a machine: one that cranks at its usual speed "
    "and does not start is not covered."
)


def ask_complaint(state: State) -> Question:
    """What the machine does."""
    known = complaints_of(state.book, state.circuit)
    covers = "" if tells_of_cranking(state.book, known) else f" {NO_FUEL_FAULTS}"
    return Question(
        id=COMPLAINT,
        kind="intake",
        text=f"What does the machine do at each key position? Take the one that is nearest.{covers}",
        choices=(*(c.id for c in known), NOT_SURE[0]),
        meanings=(*(c.name for c in known), "none of these, or nobody saw it"),
        minutes=1.0,
        why="What it does at OFF, ON and START says which half of the machine to look at.",
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

    def apply(self, state: State, step: Step) -> None:
        """Keep it; what it says of checks is evidence."""
        if step.value in state.book.complaints:
            state.complaint = step.value
            state.present.taken[COMPLAINT] = Taken(step.value, Understood(step.value), asked=True)
        else:
            state.complaint = "unclear"

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell it by its name."""
        known = state.book.complaints
        return "What the machine does:", known[value].name if value in known else value
