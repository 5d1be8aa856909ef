"""How far the hand-back has come: what is still to be shown, what was, what failed, what stays open."""

from __future__ import annotations

from typing import Literal

from coldiron.book.checks import UNITS
from coldiron.book.duties import Duty
from coldiron.job.state import State
from coldiron.machine.duties import OPEN, Page, duties_of, has_failed, page_id, pages_of
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import dataclass

CANNOT = UNKNOWN[1]

How = Literal["shown", "failed", "open"]


@dataclass(frozen=True, slots=True)
class DutyResult:
    """One duty of the machine, how it came out in this epoch, with what is to be said of it."""

    duty: Duty
    how: How
    words: str

    def __str__(self) -> str:
        """Its name, and what there is to say of it."""
        return f"{self.duty.name} ({self.words})" if self.words else self.duty.name


def pages_left(state: State) -> tuple[Page, ...]:
    """The pages still to be asked in this epoch, in order; what was not ticked on its page is asked by itself."""
    left: list[Page] = []
    for page in pages_of(duties_of(state.book, state.circuit)):
        waiting = tuple(f for f in page if f.id not in state.present.shown and _at_hand(state, f))
        if len(page) > 1 and page_id(page) not in state.present.pages and waiting:
            left.append(page)
        else:
            left += [(duty,) for duty in waiting]
    return tuple(left)


def _at_hand(state: State, duty: Duty) -> bool:
    return state.kit is None or state.kit.issuperset(duty.kit)


def results(state: State) -> tuple[DutyResult, ...]:
    """Every duty of the machine that was asked for in this epoch, or that cannot be for want of kit."""
    return tuple(
        _result(state, duty)
        for duty in duties_of(state.book, state.circuit)
        if duty.id in state.present.shown or not _at_hand(state, duty)
    )


def _result(state: State, duty: Duty) -> DutyResult:
    taken = state.present.shown.get(duty.id)
    if taken is None:
        names = ", ".join(state.book.kits[name].name for name in duty.kit if name not in (state.kit or ()))
        return DutyResult(duty, "open", f"not at hand: {names}")
    if not taken.understood.finding or taken.understood.finding == OPEN:
        return DutyResult(duty, "open", "cannot be shown here" if taken.raw == CANNOT else "not shown")
    value = taken.understood.value
    read = "" if value is None else f"{value:.4g} {UNITS[duty.quantity]}"
    if has_failed(taken.understood):
        return DutyResult(duty, "failed", read or "does not work right")
    return DutyResult(duty, "shown", read or ("if fitted" if duty.if_fitted else ""))


def failed(state: State) -> tuple[Duty, ...]:
    """The duties that did not do as they must in this epoch: as long as there is one, nothing is handed back."""
    return tuple(result.duty for result in results(state) if result.how == "failed")


def still_open(state: State) -> tuple[Duty, ...]:
    """The duties that were not shown in this epoch."""
    return tuple(result.duty for result in results(state) if result.how == "open")
