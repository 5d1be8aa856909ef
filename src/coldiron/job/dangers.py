"""Which dangers stand, what is to be done about them this second, and which steps they bar.

What is barred is neither offered nor taken.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import assert_never

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.dangers import Bar, BarsAll, BarsCheck, BarsProof, BarsRepair, BarsSettings
from coldiron.book.history import Ask
from coldiron.job.cautions import is_a_look, target
from coldiron.job.danger_fold import after, folded, log_of, refers, settled
from coldiron.job.danger_lines import DangerLines, made_of, speaks_of
from coldiron.job.danger_records import NOW, Standing, Told
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
        fold = folded(told, DangerLines(state.book, made))
    elif fold.steps < len(state.log):
        fold = after(fold, told)
    state.dangers = fold
    return fold.standing


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


KEY = "key"
"""A setting that is held and springs back: bringing it to a value is always a step of its own."""


def barred_check(state: State, check: Check, dangers: Iterable[Standing]) -> Standing | None:
    """The first danger that bars a check in the present state of the machine, or None."""
    after = target(state.book, check, state.settings)
    return next((s for s in dangers if any(_bars_check(bar, state, check, after) for bar in s.danger.bars)), None)


def barred_proof(state: State, check: Check, dangers: Iterable[Standing]) -> Standing | None:
    """The first danger that bars a check as the proof of a repair, or None."""
    stands = tuple(dangers)
    after = target(state.book, check, state.settings)
    proofs = ((s, bar) for s in stands for bar in s.danger.bars if isinstance(bar, BarsProof))
    found = (s for s, bar in proofs if brings(bar.state, state.settings, after, looks=False))
    return barred_check(state, check, stands) or next(found, None)


def asked_before(state: State, check: Check, checks: Iterable[str]) -> Ask | None:
    """The first question of the book that stands before such a check and is still to be put, or None.

    Args:
        state: what was answered.
        check: the step.
        checks: those that can be made on the machine.
    """
    after = target(state.book, check, state.settings)
    return _first(state, checks, lambda bar: _bars_check(bar, state, check, after))


def asked_before_repair(state: State, fault: str, checks: Iterable[str]) -> Ask | None:
    """The first question of the book that stands before such a repair and is still to be put, or None."""
    return _first(state, checks, lambda bar: _bars_repair(bar, state.book, fault, ""))


def _first(state: State, checks: Iterable[str], stands_before: Callable[[Bar], bool]) -> Ask | None:
    for asked in state.book.questions.values():
        if (
            asked.id not in state.questions
            and any(map(stands_before, asked.before))
            and not _idle(state, asked, checks)
        ):
            return asked
    return None


def _idle(state: State, asked: Ask, checks: Iterable[str]) -> bool:
    """Whether what was measured since the latest repair has settled whatever the answers could tell of danger."""
    found = {name: frozenset((one.understood.finding,)) for name, one in state.present.taken.items()}
    dangers = [
        danger
        for danger in state.book.dangers.values()
        if any(sign.name == asked.id and sign.test == "history" for signs in danger.told for sign in signs)
    ]
    made = made_of(tuple(checks))
    return bool(dangers) and all(settled(danger, found, made) for danger in dangers)


def _bars_check(bar: Bar, state: State, check: Check, after: Mapping[str, str]) -> bool:
    match bar:
        case BarsCheck(name):
            return name in (check.id, check.id.partition(".")[0])
        case BarsSettings(wanted):
            return brings(wanted, state.settings, after, looks=is_a_look(state.book, check))
        case BarsAll():
            return True
        case BarsProof() | BarsRepair():
            return False
        case _:
            assert_never(bar)


def brings(wanted: Mapping[str, str], before: Mapping[str, str], after: Mapping[str, str], *, looks: bool) -> bool:
    """Whether a step brings settings to values, or is made while they have them.

    A look moves nothing: it counts only where something has to be brought there for it.
    """
    if any(after.get(name) != value for name, value in wanted.items()):
        return False
    return not looks or KEY in wanted or any(before.get(name) != value for name, value in wanted.items())


def barred_repair(state: State, fault: str, dangers: Iterable[Standing]) -> Standing | None:
    """The first danger that bars the repair of a fault, or None."""
    return next(
        (s for s in dangers if any(_bars_repair(bar, state.book, fault, s.part) for bar in s.danger.bars)), None
    )


def _bars_repair(bar: Bar, book: Book, fault: str, part: str) -> bool:
    match bar:
        case BarsRepair(faults):
            return refers(book, faults, fault, part)
        case BarsAll():
            return True
        case BarsSettings() | BarsProof() | BarsCheck():
            return False
        case _:
            assert_never(bar)


def barred_setting(state: State, setting: str, value: str, dangers: Iterable[Standing]) -> Standing | None:
    """The first danger that bars putting one setting to a value, or None."""
    after = {**state.settings, setting: value}

    def bars(bar: Bar) -> bool:
        match bar:
            case BarsSettings(wanted):
                return setting in wanted and brings(wanted, state.settings, after, looks=True)
            case BarsAll():
                return True
            case BarsProof() | BarsCheck() | BarsRepair():
                return False
            case _:
                assert_never(bar)

    return next((s for s in dangers if any(map(bars, s.danger.bars))), None)


def refusal(stands: Standing) -> str:
    """Why a step that is barred is not taken, in a sentence or two."""
    return f"Not now: {stands.danger.name}. {stands.danger.because}"
