"""A repair: what the evidence supports, or what the mechanic did by himself."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.book.book import Book
from coldiron.book.cautions import Caution
from coldiron.book.faults import Fault, FaultKind
from coldiron.job import acknowledged
from coldiron.job.question import Question
from coldiron.job.shares import in_100
from coldiron.job.state import Epoch, State
from coldiron.job.steps import RepairStep, Step
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose


def ask_repair(fault: Fault, chance: float, due: Sequence[Caution], notes: tuple[str, ...] = ()) -> Question:
    """The repair the evidence now supports."""
    return Question(
        id=fault.id,
        kind="repair",
        text=f"{fault.name}. {fault.what.repair}",
        choices=("done", "no"),
        meanings=("the fix is done", "not this one, or not now: go on checking"),
        minutes=fault.what.minutes,
        waits=waiting(fault.what),
        cautions=tuple(due),
        how=fault.what.proof,
        why=f"{in_100(chance)} by the readings so far.",
        notes=notes,
    )


def waiting(fault: FaultKind) -> str:
    """Say how many hours a repair waits and for what, as in "4 to 12 h on charge"; nothing where it does not wait."""
    low, high = fault.waits
    if not high:
        return ""
    return f"{low:g}{f' to {high:g}' if high > low else ''} h {fault.waiting}".rstrip()


class Mend(KindOfQuestion):
    """The repair of a fault: done, or not this one."""

    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether the book has such a fault."""
        return name in book.faults

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write that it is done, or that it is not this one."""
        return RepairStep(asked.id, choose(text, asked.pairs))

    def mend(self, state: State, step: RepairStep) -> None:
        """A repair that is done ends the epoch, and all that was acknowledged; one turned down ends a stretch."""
        state.wanted = step.fault if step.word == "next" else ""
        state.once_more = ""
        if step.word == "next":
            return
        if step.word != "done":
            state.declined.add(step.fault)
            state.acks = acknowledged.broken(state.book, state.acks)  # who was about to repair has left his place
            return
        fault = state.book.faults.get(step.fault)  # a newer book may have none of that name: another epoch all the same
        if fault is not None:
            state.minutes += fault.what.minutes
            state.present.repaired = fault.id
        state.acks, state.told, state.begun = acknowledged.repaired(state.acks), frozenset(), ""
        state.epochs.append(Epoch())
        state.declined.clear()
        state.kept_back = False
