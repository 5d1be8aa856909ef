"""Questions in words: from what comes next to the text, choices and conditions a screen shows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldiron.consult.shares import in_100
from coldiron.job.acknowledged import NOT_SO, SO, Waiting
from coldiron.job.at_machine import (
    ANOTHER_DAY,
    AWAY,
    SAME,
    STANDS,
    TOUCHED,
    area_minutes,
    change_minutes,
    moved_value,
    stretch_minutes,
)
from coldiron.job.cautions import before_check, target
from coldiron.job.complaining import complaints_of, tells_of_cranking
from coldiron.job.dangers import NOW, Standing
from coldiron.job.describing import (
    CIRCUIT,
    HAS,
    LIST,
    OTHER,
    VOLTS,
    commonest,
    fitting,
    fullest,
    not_known,
    possible,
)
from coldiron.job.functions import Page, as_check, stops
from coldiron.job.question import Question
from coldiron.job.reported import NOT_DONE, NOT_TOLD
from coldiron.job.state import HAND_BACK, KIT, NOT_SURE, State, kit_choices, story_choices
from coldiron.job.steps import SET
from coldiron.model import COMPLAINT, UNITS, Ask, Caution, Check, Fault, FaultKind, Finding, Function, Trait
from coldiron.readings.interpret import bounds
from coldiron.record import replace

NOT_KNOWN = (NOT_SURE[0], "nobody knows, or it is none of these")

NO_FUEL_FAULTS = (
    "This book knows no faults of fuel, air or stop device of such a machine: one that cranks at its usual speed "
    "and does not start is not covered."
)

SHORT = 5
"""Circuits of a list that are told with the machines they are of; a longer one would not fit a screen."""

BY_THE_MAKERS_LIST = (
    "Everything is back as it was. This book lists no functions to show: show every one by the maker's list, each "
    "interlock refusing as it should. Then hand the machine back."
)
ALL_SHOWN = (
    "Everything is back as it was, and every function was shown. Tell the owner what was wrong, what was done and what "
    "was read. Then hand the machine back."
)
SOME_OPEN = (
    "Everything is back as it was. Not all was shown: give the owner in writing what is open and what must not be done "
    "until it is shown. Then hand the machine back."
)
NOT_TO_BE_USED = (
    "This machine must not be used: something it may not run without was not shown. Hang a tag on it, and give the "
    "owner in writing what is open. Only then does it leave your hands, as out of service."
)


def ask_story(asked: Ask, why: str = "") -> Question:
    """A question of the book to the owner or the mechanic."""
    pairs = story_choices(asked)
    return Question(
        id=asked.id,
        kind="intake",
        text=asked.ask,
        choices=tuple(key for key, _ in pairs),
        meanings=tuple(words for _, words in pairs),
        minutes=asked.minutes,
        why=why or asked.because,
        several=asked.several,
    )


def ask_now(stands: Standing) -> Question:
    """What to do this second about a danger that was just told."""
    danger = stands.danger
    return Question(
        id=NOW + danger.id,
        kind="now",
        text=f"{danger.name[:1].upper()}{danger.name[1:]}. {danger.now}",
        choices=("done", "cannot"),
        meanings=("that is done", "it cannot be done: everybody stays away, and help is called"),
        why=danger.because,
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


def ask_volts(state: State) -> Question:
    """12 or 24 V."""
    volts = sorted({circuit.volts for circuit in state.book.circuits.values()})
    return Question(
        id=VOLTS,
        kind="intake",
        text="Is it a 12 V or a 24 V machine? Count the batteries and look at the links between them.",
        choices=tuple(str(v) for v in volts),
        meanings=tuple(f"{v} V" for v in volts),
        minutes=0.5,
        why="Every reading is judged against the machine's own volts.",
    )


def ask_last_time(state: State, before: str) -> Question:
    """Whether the machine is still what it was on an earlier job under the same name."""
    known = state.book.circuits[before]
    return Question(
        id=CIRCUIT,
        kind="intake",
        text=f"A machine of this name was here before. Its circuit was then: {known.name}, {known.volts} V. Is it so?",
        choices=(before, OTHER),
        meanings=("yes, it is", "no, or nobody knows: ask for it anew"),
        minutes=0.5,
        why="What is known need not be looked for again.",
    )


def ask_trait(state: State, trait: Trait) -> Question:
    """What tells the circuits that still fit apart; only what one of them answers can be chosen."""
    name = HAS + trait.id
    others = {key: value for key, value in state.said.items() if key != name}
    open_ones = possible(trait, fitting(state.book, others).circuits)
    known = [(answer, meaning) for answer, meaning in trait.answers if answer in open_ones]
    choices = [*known, NOT_KNOWN, (LIST, "show me the list of circuits")]
    return Question(
        id=name,
        kind="intake",
        text=trait.ask,
        choices=tuple(key for key, _ in choices),
        meanings=tuple(words for _, words in choices),
        minutes=trait.minutes,
        how=trait.how,
        why=trait.because,
    )


def ask_circuit(state: State) -> Question:
    """Which of the circuits that fit what was said, the most common first; if nobody knows, what leaves out least."""
    others = {key: value for key, value in state.said.items() if key != CIRCUIT}
    fits = commonest(fitting(state.book, others).circuits)
    open_ones = ", ".join(trait.name for trait in not_known(state.book, others) if HAS + trait.id in others)
    short = len(fits) <= SHORT
    choices = [(c.id, f"{c.name} ({c.about})" if c.about and short else c.name) for c in fits]
    if len(fits) > 1:
        full = fullest(state.book, fits).name
        choices.append((NOT_SURE[0], f"nobody knows: take {full}, which leaves out least of what is likely fitted"))
    return Question(
        id=CIRCUIT,
        kind="intake",
        text=f"{f'Not known: {open_ones}. ' if open_ones else ''}Which of these is most like it?",
        choices=tuple(key for key, _ in choices),
        meanings=tuple(words for _, words in choices),
        minutes=1.0,
        why="The parts between battery and starter decide which checks there are.",
    )


def ask_kit(state: State) -> Question:
    """What is at hand."""
    choices = kit_choices(state.book)
    return Question(
        id=KIT,
        kind="intake",
        text="What have you at hand? Name all of it.",
        choices=tuple(key for key, _ in choices),
        meanings=tuple(words for _, words in choices),
        minutes=0.5,
        why="Checks you have no kit for are not asked.",
        several=True,
    )


def ask_caution(due: Waiting, words: str, step: str = "") -> Question:
    """The preparation screen before a step: all cautions due together, with the word or the key that is asked for.

    All of a step stand on one page. Its word is that of the gravest; who types it has seen that all of it is so.
    """
    if not due.full:
        return _ask_still_so(due.brief, words, step)
    first = due.full[0]
    return Question(
        id=first.id,
        kind="caution",
        text=f"Before you go on: {words}",
        choices=(first.type,),
        meanings=("type this word when you see with your own eyes that all of it is so",),
        cautions=(*due.full, *due.brief),
        why=first.harm,
        step=step,
        acks=tuple(caution.id for caution in (*due.full, *due.brief)),
        beside=tuple(caution.id for caution in due.brief),
    )


def _ask_still_so(due: Sequence[Caution], words: str, step: str) -> Question:
    return Question(
        id=due[0].id,
        kind="caution",
        text=f"Once more, before you go on: {words}",
        choices=(SO, NOT_SO),
        meanings=("it is so, I have just looked", "it is not so"),
        cautions=tuple(due),
        why=due[0].harm,
        step=step,
        acks=tuple(caution.id for caution in due),
        beside=tuple(caution.id for caution in due),
        brief=True,
    )


def ask_set(state: State, name: str, value: str, due: Sequence[Caution], step: str = "") -> Question:
    """Whether a setting was put to a value: before the check `step`, or put back before the machine is handed over."""
    setting = state.book.settings[name]
    back = value == setting.normal
    stood = state.settings[name]
    told = "Nobody has said how it stands." if stood == NOT_TOLD else f"Told last: {setting.in_words(stood)}."
    return Question(
        id=f"{SET}{name}@{step}" if step else SET + name,
        kind="set",
        text=f"{'Put back' if back else 'Set first'}: {setting.name} to '{value}'.",
        choices=(value, NOT_DONE),
        meanings=(setting.in_words(value), "not done: it stays as it is"),
        minutes=setting.minutes,
        cautions=tuple(due),
        how=told,
        why="It counts as so only when you have said it."
        if step
        else "Whatever was disconnected, fitted or opened must be undone before the machine is handed back.",
        step=step or SET + name,
    )


def ask_away(state: State) -> Question:
    """Who comes back to a parked job, and whether the machine was left alone."""
    off = [state.book.settings[name].in_words(state.settings[name]) for name, _ in state.undone if state.settings[name]]
    return Question(
        id=AWAY,
        kind="intake",
        text="You are back at this job. What has changed since it was left?",
        choices=(SAME, ANOTHER_DAY, TOUCHED),
        meanings=(
            "nothing: same day, same person, and nobody was at the machine",
            "another day or another person; nobody has worked on it",
            "somebody has worked on it, or nobody knows",
        ),
        minutes=0.0,
        how=f"As it was left: {'; '.join(off)}." if off else "",
        why="What was true when it was left need not be true now.",
    )


def ask_stands(state: State, names: Iterable[str]) -> Question:
    """How the machine stands after somebody else was at it: which of some settings are not as usual."""
    known = state.book.settings
    rows = [(name, known[name].in_words(moved_value(known[name]))) for name in names]
    return Question(
        id=STANDS,
        kind="intake",
        text="Go round the machine and look. Which of these are so now? Name all.",
        choices=("none", *(name for name, _ in rows)),
        meanings=("none of these", *(words for _, words in rows)),
        minutes=2.0,
        why="Nobody can say how it stands but who has looked.",
        several=True,
    )


def ask_check(state: State, check: Check, kind: str = "check", why: str = "", extra: Iterable[str] = ()) -> Question:
    """A check at the machine."""
    measured = check.reads.quantity in UNITS
    after = target(state.book, check, state.settings)
    due = before_check(state.book, check, state.settings, extra)
    minutes = check.minutes + change_minutes(state.book, state.settings, after) + area_minutes(state, check.area)
    minutes += stretch_minutes(state, check)
    return Question(
        id=check.id,
        kind="proof" if kind == "proof" else "check",
        text=check.ask,
        choices=() if measured else tuple(f.id for f in check.findings),
        meanings=() if measured else tuple(f.meaning for f in check.findings),
        unit=UNITS.get(check.reads.quantity, ""),
        minutes=round(minutes, 1),
        cautions=tuple(state.book.cautions[name] for name in due),
        how=check.how,
        changes=changes_in_words(state, after),
        good=good_in_words(state, check),
        why=why,
    )


def changes_in_words(state: State, after: dict[str, str]) -> tuple[str, ...]:
    """What has to be set on the machine first, one setting a line."""
    return tuple(
        f"{state.book.settings[name].name}: {value}" for name, value in after.items() if state.settings[name] != value
    )


def good_in_words(state: State, check: Check) -> str:
    """What a sound machine shows."""
    finding = next((f for f in check.findings if f.id == check.good), None)
    return finding_in_words(state, check, finding) if finding else ""


def finding_in_words(state: State, check: Check, finding: Finding) -> str:
    """A finding by its meaning, or by its bounds in the unit of the check."""
    if check.reads.quantity not in UNITS:
        return finding.meaning or finding.id.replace("_", " ")
    unit = UNITS[check.reads.quantity]
    limits = [found for band in finding.bands if (found := bounds(band, state.volts, state.batteries))]
    return " or ".join(_span(low, high, unit) for low, high in limits)


def _span(low: float, high: float, unit: str) -> str:
    if high >= 1e6:
        return f"{_figure(low)} {unit} or more, or open line"
    if low < 0:
        return f"under {_figure(high)} {unit}"
    return f"{_figure(low)} to {_figure(high)} {unit}"


def _figure(value: float) -> str:
    return f"{value:.4g}"


def waiting(fault: FaultKind) -> str:
    """Say how many hours a repair waits and for what, as in "4 to 12 h on charge"; nothing where it does not wait."""
    low, high = fault.waits
    if not high:
        return ""
    return f"{low:g}{f' to {high:g}' if high > low else ''} h {fault.waiting}".rstrip()


def ask_repair(fault: Fault, chance: float, due: Sequence[Caution]) -> Question:
    """The repair the evidence now supports."""
    return Question(
        id=fault.id,
        kind="repair",
        text=f"{fault.name}. {fault.what.repair}",
        choices=("done", "no"),
        meanings=("the repair is done", "not this one, or not now: go on checking"),
        minutes=fault.what.minutes,
        waits=waiting(fault.what),
        cautions=tuple(due),
        how=fault.what.proof,
        why=f"{in_100(chance)} by the evidence so far.",
    )


def ask_hand_back(still_open: Sequence[Function], *, listed: bool) -> Question:
    """The last question of a job.

    Args:
        still_open: the functions that were not shown.
        listed: whether the book has any for this machine.
    """
    stopped = stops(still_open)
    text = NOT_TO_BE_USED if stopped else SOME_OPEN if still_open else ALL_SHOWN if listed else BY_THE_MAKERS_LIST
    written = "tagged out of service, and the owner has it in writing" if stopped else "the owner has it, handed back"
    return Question(
        id=HAND_BACK,
        kind="proof",
        text=text,
        choices=("done", "no"),
        meanings=(written, "something still does not work"),
        minutes=5.0,
        why="A machine that starts is not yet a machine that is safe to work with.",
    )


def ask_page(state: State, page: Page, extra: Iterable[str] = ()) -> Question:
    """One page of what is shown before the hand-back."""
    why = f"{page[0].because} ({page[0].source})" if len(page) == 1 else "What works now may have been dead for long."
    return replace(ask_check(state, as_check(page), "proof", why, extra), several=len(page) > 1)
