"""Which dangers stand, worked out from the whole log, and what is to be done this second."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.job.danger_fold import NOW, Fold, Standing, Told, log_of
from coldiron.job.danger_lines import DangerLines, speaks_of
from coldiron.job.state import State
from coldiron.job.steps import Answered, ParkStep


def told_by(state: State) -> Told:
    """The log of a job, and the machine by which its figures are read."""
    return Told(state.book, state.volts, state.batteries, state.log)


def standing_dangers(state: State, checks: Iterable[str] | None = None) -> tuple[Standing, ...]:
    """Return the dangers that stand now, in the order in which they were told; one entry for each that told of it.

    The fold is kept with the state, so that the next step goes onto it and nothing is folded twice.

    Args:
        state: the state of a job, with its log.
        checks: those that can be made on the machine; all of the book while it is not known.
    """
    if not state.book.dangers:
        return ()
    made = tuple(state.book.checks if checks is None else checks)
    told = told_by(state)
    fold = state.dangers
    if fold is None or not fold.goes_on(told, made):
        fold = Fold(told, DangerLines(state.book, made))
    elif fold.steps < len(state.log):
        fold = fold.after(told)
    state.dangers = fold
    return fold.standing()


def tells(book: Book, name: str, values: Iterable[str]) -> bool:
    """Whether what was said of a check or a question tells of any danger."""
    found = set(values)
    signs = (sign for danger in book.dangers.values() for told in danger.told for sign in told)
    return any(speaks_of(sign.name, name) and sign.value in found for sign in signs)


def shown_now(state: State, stands: Iterable[Standing]) -> Standing | None:
    """The first danger whose page of what to do now was not gone through since it was told or the job was parked."""
    first: dict[str, Standing] = {}
    for one in (one for one in stands if one.danger.now):
        first.setdefault(one.danger.id, one)
    if not first:
        return None
    log = log_of(state.log).kept
    parked = max((at for at, step in enumerate(log) if isinstance(step, ParkStep)), default=-1)
    for one in first.values():
        gone_through = [
            at for at, step in enumerate(log) if isinstance(step, Answered) and step.id == NOW + one.danger.id
        ]
        if not any(at >= max(one.at, parked + 1) for at in gone_through):
            return one
    return None
