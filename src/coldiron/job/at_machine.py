"""What a step does to the machine as it is told: settings, minutes, covers opened, acknowledgements that end."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.words import Setting
from coldiron.job import acknowledged
from coldiron.job.acknowledged import Acks
from coldiron.job.cautions import before_check, before_setting, dues_of, target
from coldiron.job.reported import NOT_TOLD, at_rest, left_alone, nothing_told, rest_of
from coldiron.job.state import State
from coldiron.job.steps import SET, Answered, AnswerStep
from coldiron.job.warned import warned_by_answers
from coldiron.readings.refusal import NOT_FITTED, UNKNOWN

AWAY = "away"
"""The question who comes back to a parked job, and what has changed."""

STANDS = "stands"
"""The question how the machine stands after somebody else worked on it."""

NEW_STRETCH = 2.0
"""Minutes to read what can hurt at START, walk round the machine, send everybody off, see that levers, brake and bucket
are as they must be, and say so (common practice, no source)."""

SAME, ANOTHER_DAY, TOUCHED = "same", "day", "touched"
"""Who comes back to a parked job: the same person on the same day; another day or person; somebody worked on it."""


def park(state: State) -> None:
    """The job is parked: every acknowledgement ends, and who comes back is asked what has changed."""
    state.parked = True
    state.acks, state.told = Acks(), frozenset()
    state.away = bool(state.complaint)


def come_back(state: State, value: str) -> None:
    """Somebody comes back to the machine, or somebody else does: what is only true of one day or person is not told."""
    state.away = False
    if value == SAME:
        return
    state.acks, state.told = Acks(), frozenset()
    for asked in state.book.questions.values():
        if asked.stage == "safety":
            state.questions.pop(asked.id, None)
    if value != ANOTHER_DAY:
        state.settings = nothing_told(state.settings)
        state.unseen = True


def look_round(state: State, text: str) -> None:
    """How the machine stands, told in one list, which ends what was acknowledged for another state.

    Of what is never told by itself nothing is known.
    """
    state.unseen = False
    if text in UNKNOWN:
        return
    named = text.split(",")
    told = {
        name: moved_value(setting) if name in named else setting.normal
        for name, setting in state.book.settings.items()
        if setting.confirm
    }
    stood = state.settings
    state.settings = {**stood, **told}
    kept = acknowledged.surviving(state.book, state.acks, (), stood, state.settings)
    state.acks = acknowledged.broken(state.book, kept)
    state.told = acknowledged.outliving(state.book, state.told, (), stood, state.settings)


def moved_value(setting: Setting) -> str:
    """The value of a setting that is not normal and not only held."""
    return next(value for value in setting.values if value not in (setting.normal, setting.held))


def untold(state: State, asked: str) -> None:
    """It was taken back that a setting was put to a value: nobody knows how it stands."""
    name, _, _ = asked.removeprefix(SET).partition("@")
    state.settings = {**state.settings, name: NOT_TOLD}


def step_untold(state: State, check: Check) -> None:
    """It was taken back that a step was taken: nobody knows whether what it moves was put back."""
    state.settings = left_alone(state.book, state.settings, target(state.book, check, state.settings))


def put(state: State, step: Answered) -> None:
    """A setting was put to a value; or it was left without a word, and nobody knows how far it was set."""
    name, _, before = step.id.removeprefix(SET).partition("@")
    if is_left(step.value):
        stood = state.settings
        untold(state, step.id)
        state.acks = acknowledged.surviving(state.book, state.acks, (), stood, state.settings)
        return
    state.begun = before
    stood = state.settings
    state.settings = {**stood, name: rest_of(state.book, name, step.value)}
    state.minutes += state.book.settings[name].minutes
    due = before_setting(state.book, name, step.value)
    state.told |= {*due, *warned_by_answers(state.book, state)}
    kept = acknowledged.surviving(state.book, state.acks, due, stood, state.settings)
    state.acks = acknowledged.broken(state.book, kept)


def step_taken(state: State, check: Check, step: Answered) -> None:
    """A step at the machine was taken, or was left undone: at its page, or before that at a caution or a setting."""
    if state.begun == check.id:
        state.begun = ""
    if not is_left(step.value):
        _enter(state, check)
        state.minutes += check.minutes
        return
    before = state.settings
    if isinstance(step, AnswerStep):
        state.settings = left_alone(state.book, before, target(state.book, check, before))
    kept = acknowledged.surviving(state.book, state.acks, (), before, state.settings)
    state.acks = acknowledged.broken(state.book, kept)


def is_left(text: str) -> bool:
    """Whether an answer to a step says that nothing was done at the machine."""
    return text.strip().lower() in (*UNKNOWN, NOT_FITTED)


def _enter(state: State, check: Check) -> None:
    """A reading was taken, so the machine stood as the check needs it: costs, covers opened, what was acknowledged."""
    before = state.settings
    due = before_check(state.book, check, before)
    wanted = target(state.book, check, before)
    moves = moves_on(state, check)
    state.minutes += change_minutes(state.book, before, wanted) + area_minutes(state, check.area)
    state.minutes += stretch_minutes(state, check)
    state.opened.add(check.area)
    state.area = check.area
    state.settings = at_rest(state.book, wanted)
    shown = {*due, *warned_by_answers(state.book, state)}
    state.told = acknowledged.outliving(state.book, state.told, due, before, state.settings) | shown
    kept = acknowledged.surviving(state.book, state.acks, due, before, wanted)
    state.acks = acknowledged.after_step(state.book, kept, moves=moves)


def moves_on(state: State, check: Check) -> bool:
    """Whether a check is the first of a new stretch: in another area, or with another setting than one that is held."""
    wanted = target(state.book, check, state.settings)
    known = state.book.settings
    moved = any(value != state.settings[name] for name, value in wanted.items() if not known[name].springs)
    return moved or place_of(state.book, check.area) != place_of(state.book, state.area)


def place_of(book: Book, area: str) -> str:
    """Where one stands to reach an area: that of another area, if it lies beside one."""
    known = book.areas.get(area)
    return known.beside or area if known else area


def stretch_of(state: State) -> str:
    """The place where a START may follow in a line on what was typed there; empty where it is typed anew."""
    acks, starts = state.acks, dues_of(state.book).starts
    return place_of(state.book, state.area) if starts & (acks.read | acks.full) else ""


def stretch_minutes(state: State, check: Check) -> float:
    """Minutes to go round and clear the place before a START that was typed in full: nothing for the next ones."""
    first = state.acks.step == check.id and dues_of(state.book).starts & state.acks.full
    return NEW_STRETCH if first else 0.0


def change_minutes(book: Book, before: dict[str, str], after: dict[str, str]) -> float:
    """Minutes to bring the machine from one state to another."""
    return sum(book.settings[name].minutes for name in after if before.get(name) != after[name])


def area_minutes(state: State, area: str) -> float:
    """Minutes to open an area: nothing once it is open."""
    known = state.book.areas.get(area)
    return known.minutes if known and area not in state.opened else 0.0


def is_setting(book: Book, name: str) -> bool:
    """Whether an id of the log is that of a setting put to a value."""
    return name.startswith(SET) and name.removeprefix(SET).partition("@")[0] in book.settings
