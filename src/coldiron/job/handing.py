"""How far the hand-back has come: what is still to be shown, what was, what failed, what stays open."""

from __future__ import annotations

from typing import Literal

from coldiron.book.checks import UNITS
from coldiron.book.functions import Function
from coldiron.job.state import State
from coldiron.machine.functions import OPEN, Page, functions_of, has_failed, page_id, pages_of
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import dataclass

CANNOT = UNKNOWN[1]

How = Literal["shown", "failed", "open"]


@dataclass(frozen=True, slots=True)
class FunctionResult:
    """One function of the machine, how it came out in this epoch, with what is to be said of it."""

    function: Function
    how: How
    words: str

    def __str__(self) -> str:
        """Its name, and what there is to say of it."""
        return f"{self.function.name} ({self.words})" if self.words else self.function.name


def pages_left(state: State) -> tuple[Page, ...]:
    """The pages still to be asked in this epoch, in order; what was not ticked on its page is asked by itself."""
    left: list[Page] = []
    for page in pages_of(functions_of(state.book, state.circuit)):
        waiting = tuple(f for f in page if f.id not in state.present.shown and _at_hand(state, f))
        if len(page) > 1 and page_id(page) not in state.present.pages and waiting:
            left.append(page)
        else:
            left += [(function,) for function in waiting]
    return tuple(left)


def _at_hand(state: State, function: Function) -> bool:
    return state.kit is None or state.kit.issuperset(function.kit)


def results(state: State) -> tuple[FunctionResult, ...]:
    """Every function of the machine that was asked for in this epoch, or that cannot be for want of kit."""
    return tuple(
        _result(state, function)
        for function in functions_of(state.book, state.circuit)
        if function.id in state.present.shown or not _at_hand(state, function)
    )


def _result(state: State, function: Function) -> FunctionResult:
    taken = state.present.shown.get(function.id)
    if taken is None:
        names = ", ".join(state.book.kits[name].name for name in function.kit if name not in (state.kit or ()))
        return FunctionResult(function, "open", f"not at hand: {names}")
    if not taken.understood.finding or taken.understood.finding == OPEN:
        return FunctionResult(function, "open", "cannot be shown here" if taken.raw == CANNOT else "not shown")
    value = taken.understood.value
    read = "" if value is None else f"{value:.4g} {UNITS[function.quantity]}"
    if has_failed(taken.understood):
        return FunctionResult(function, "failed", read or "does not work right")
    return FunctionResult(function, "shown", read or ("if fitted" if function.if_fitted else ""))


def failed(state: State) -> tuple[Function, ...]:
    """The functions that did not do as they must in this epoch: as long as there is one, nothing is handed back."""
    return tuple(result.function for result in results(state) if result.how == "failed")


def still_open(state: State) -> tuple[Function, ...]:
    """The functions that were not shown in this epoch."""
    return tuple(result.function for result in results(state) if result.how == "open")
