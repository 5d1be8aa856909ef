"""The state of a job, computed from its log and from nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, TypeVar

from coldiron.job import acknowledged
from coldiron.job.acknowledged import SO, Acks
from coldiron.job.at_machine import (
    AWAY,
    STANDS,
    come_back,
    is_left,
    is_setting,
    look_round,
    park,
    put,
    step_taken,
    untold,
)
from coldiron.job.describing import GONE, VOLTS, describes, is_taken, named
from coldiron.job.functions import Page, as_check, is_page, page_named, seen_by, shown_by
from coldiron.job.question import AnswerError
from coldiron.job.reported import all_normal
from coldiron.job.steps import MARK, NOT_FITTED, UNKNOWN, Step, folded
from coldiron.model import CODE, COMPLAINT, UNITS, Ask, Book, Check
from coldiron.readings.interpret import NOTHING, Understood, choose, choose_several, understand
from coldiron.record import dataclass, field, replace

if TYPE_CHECKING:
    from coldiron.job.codes import TroubleCode
    from coldiron.job.dangers import Fold

Known = TypeVar("Known", Ask, Book)

KIT = "kit"
HAND_BACK = "hand_back"
NOT_SURE = ("not sure", "nobody knows, or it was not looked at")


@dataclass(frozen=True, slots=True)
class Taken:
    """One answer to a check in one epoch: as typed, as understood, and whether it was asked for.

    `earlier` is what was read before of the same thing, where it was measured more than once.
    """

    raw: str
    understood: Understood
    asked: bool
    earlier: tuple[Understood, ...] = ()


@dataclass(slots=True)
class Epoch:
    """The stretch of a job between two repairs. `repaired` ends it.

    `shown` are the functions asked for before the hand-back, by id, and `pages` the pages of several that were ticked.
    `again` are the checks that were asked for twice.
    """

    taken: dict[str, Taken] = field(default_factory=dict)
    shown: dict[str, Taken] = field(default_factory=dict)
    pages: set[str] = field(default_factory=set)
    again: set[str] = field(default_factory=set)
    repaired: str = ""


@dataclass(slots=True)
class State:
    """Everything the log says. Built by `replay`; nobody else changes it.

    `held` are readings given before the machine was known, as typed; `once_more` is the check to be taken again.
    `said` is what was said of the machine, as `coldiron.job.describing` has it. With `taken`, nobody knows which of
    several circuits it has, and the one that leaves out least is taken for it. `settings` are as told, or `NOT_TOLD`.
    `begun` is the check for which something was set last, `area` that of the latest step at the machine. `away` and
    `unseen` are whether it has to be asked who comes back, and how the machine stands now. `log` are all its steps,
    also those taken back: what was found of danger is worked out from them, and `dangers` is how far that has come.
    """

    book: Book
    said: dict[str, str] = field(default_factory=dict)
    taken: bool = False
    questions: dict[str, tuple[str, ...]] = field(default_factory=dict)
    raw: dict[str, str] = field(default_factory=dict)
    complaint: str = ""
    circuit: str = ""
    volts: int = 0
    kit: frozenset[str] | None = None
    epochs: list[Epoch] = field(default_factory=lambda: [Epoch()])
    wanted: str = ""
    once_more: str = ""
    held: dict[str, str] = field(default_factory=dict)
    declined: set[str] = field(default_factory=set)
    settings: dict[str, str] = field(default_factory=dict)
    begun: str = ""
    area: str = ""
    away: bool = False
    unseen: bool = False
    acks: Acks = Acks()
    told: frozenset[str] = frozenset()
    opened: set[str] = field(default_factory=set)
    minutes: float = 0.0
    codes: list[TroubleCode] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    parked: bool = False
    handed_back: bool = False
    log: tuple[Step, ...] = ()
    dangers: Fold | None = field(default=None, compare=False)

    @property
    def batteries(self) -> int:
        """Batteries in series on this machine."""
        known = self.book.circuits.get(self.circuit)
        return known.batteries if known else max(1, self.volts // 12)

    @property
    def present(self) -> Epoch:
        """The epoch since the latest repair."""
        return self.epochs[-1]

    @property
    def undone(self) -> tuple[tuple[str, str], ...]:
        """What is still off, out, open or fitted, or not known not to be: (setting, value it must be put back to)."""
        return tuple(
            (name, setting.normal)
            for name, setting in self.book.settings.items()
            if self.settings.get(name, setting.normal) != setting.normal
        )


def replay(book: Book, steps: Iterable[Step]) -> State:
    """Fold a log to the state of its job. Never raises on a log that was accepted when it was written."""
    steps = tuple(steps)
    state = State(book, log=steps)
    state.settings = all_normal(book)
    for step in folded(steps):
        _apply(state, step)
    return state


def state_after(state: State, step: Step) -> State:
    """The state after one step more, which is no `back` and no `change`; the state before it is left as it was."""
    more = replace(
        state,
        said=dict(state.said),
        questions=dict(state.questions),
        raw=dict(state.raw),
        epochs=[*state.epochs[:-1], _copied(state.present)],
        declined=set(state.declined),
        opened=set(state.opened),
        codes=list(state.codes),
        notes=list(state.notes),
        held=dict(state.held),
        log=(*state.log, step),
    )
    _apply(more, step)
    return more


def _copied(epoch: Epoch) -> Epoch:
    """The present epoch goes on; those before it are over and nobody adds to them."""
    taken, shown = dict(epoch.taken), dict(epoch.shown)
    return replace(epoch, taken=taken, shown=shown, pages=set(epoch.pages), again=set(epoch.again))


def _apply(state: State, step: Step) -> None:
    if step.kind == "park":
        park(state)
        return
    state.parked = False
    if step.kind == "note":
        state.notes.append(step.value)
    elif step.kind == "untold":
        untold(state, step)
    elif step.kind == "again":
        state.once_more = step.id
    elif step.kind == "pause":
        state.acks = Acks() if step is MARK else acknowledged.broken(state.book, state.acks)
    elif step.kind == "ack":
        names, _, before = step.id.partition("@")
        state.acks = acknowledged.given(state.book, state.acks, names.split(","), before, full=step.value != SO)
    elif step.kind == "repair":
        _repair(state, step)
    elif step.id in state.book.checks:
        _check(state, state.book.checks[step.id], step)
    elif is_page(step.id):
        _show(state, page_named(state.book, state.circuit, step.id), step)
    else:
        _intake(state, step)


def _show(state: State, page: Page, step: Step) -> None:
    """One page of the hand-back. What fails is also a finding of the checks it names, in the place of an older one."""
    if not page:  # a newer book may have no function of that name
        return
    state.present.pages.add(step.id)
    if step.kind == "answer":
        step_taken(state, as_check(page), step)
    found = shown_by(page, step.value, state.volts, state.batteries)
    for function in page:
        if function.id in found:
            understood = found[function.id]
            state.present.shown[function.id] = Taken(step.value, understood, step.kind == "answer")
            for check_id, finding in seen_by(state.book, function, understood, state.volts, state.batteries):
                state.present.taken[check_id] = Taken(finding, Understood(finding), asked=False)


def _repair(state: State, step: Step) -> None:
    state.wanted = step.id if step.value == "next" else ""
    state.once_more = ""
    if step.value == "next":
        return
    if step.value != "done":
        state.declined.add(step.id)
        return
    fault = state.book.faults.get(step.id)
    if fault is not None:  # a newer book may have none of that name; what is read later is another epoch all the same
        state.minutes += fault.what.minutes
        state.present.repaired = fault.id
    state.acks, state.told, state.begun = Acks(), frozenset(), ""
    state.epochs.append(Epoch())
    state.declined.clear()
    state.raw.pop(HAND_BACK, None)


def _check(state: State, check: Check, step: Step) -> None:
    if not state.circuit:  # kept, and judged once the machine is known
        state.held[check.id] = step.value
        return
    try:
        gone = step.value == NOT_FITTED
        understood = NOTHING if gone else understand(check, step.value, state.volts, state.batteries, sure=True)
    except AnswerError:
        understood = NOTHING  # a changed machine can make an old choice meaningless; the answer stays in the log
    before = state.present.taken.get(check.id)
    if before is not None and (step.kind == "answer" or is_left(step.value)):
        state.present.again.add(check.id)
    if understood.tells or check.id not in state.present.again:  # who cannot take it again leaves it as it was
        earlier = witnesses(check, before, understood)
        state.present.taken[check.id] = Taken(step.value, understood, step.kind == "answer", earlier)
    if state.once_more == check.id:
        state.once_more = ""
    if step.kind == "answer" or is_left(step.value):
        step_taken(state, check, step)
    if gone:
        _say(state, GONE + check.id, step.value)


def witnesses(check: Check, before: Taken | None, now: Understood) -> tuple[Understood, ...]:
    """What was read before of the same thing and still counts beside what is read now: measured, and no less exact."""
    if before is None or check.reads.quantity not in UNITS:
        return ()
    return tuple(one for one in (*before.earlier, before.understood) if one.finding or (one.cover and now.cover))


def _intake(state: State, step: Step) -> None:
    if is_code(step.id):
        _code(state, step.value)
        return
    if is_setting(state.book, step.id):
        _set(state, step)
        return
    state.raw[step.id] = step.value
    if step.id in state.book.questions:
        asked = state.book.questions[step.id]
        state.questions[step.id] = _still(answers_of, asked, step.value)
        state.minutes += asked.minutes
        state.acks = acknowledged.ended_by(state.book, state.acks, step.id)
    elif step.id == COMPLAINT:
        _complaint(state, step.value)
    elif describes(step.id):
        _say(state, step.id, step.value)
    elif step.id == KIT:
        state.kit = frozenset(_still(kit_of, state.book, step.value))
    elif step.id == AWAY:
        come_back(state, step.value)
    elif step.id == STANDS:
        look_round(state, step.value)
    elif step.id == HAND_BACK:
        state.handed_back = step.value == "done"


def _set(state: State, step: Step) -> None:
    """A setting was put to a value; where it was left without a word, the step it was wanted for is left undone too."""
    put(state, step)
    name = step.id.partition("@")[2] if is_left(step.value) else ""
    if name in state.book.checks:
        _check(state, state.book.checks[name], Step("read", name, UNKNOWN[0]))
    elif is_page(name):
        _show(state, page_named(state.book, state.circuit, name), Step("read", name, UNKNOWN[0]))


def is_code(name: str) -> bool:
    """Whether an id of the log is that of a trouble code: `code`, or with its number behind a point."""
    return name.partition(".")[0] == CODE


def _code(state: State, text: str) -> None:
    """A trouble code; one that the book does not know is a note too."""
    from coldiron.job.codes import entry_of, in_words, read_code  # noqa: PLC0415 - only where a code is given

    try:
        code = read_code(text)
    except AnswerError:
        return  # as it stands in the log it says nothing; what is accepted always reads
    if code in state.codes:
        return
    state.codes.append(code)
    if entry_of(state.book, code) is None:
        state.notes.append(f"Trouble code {in_words(state.book, code)}")


def _still(reader: Callable[[Known, str], tuple[str, ...]], known: Known, text: str) -> tuple[str, ...]:
    """What an answer of the log names in the present book; nothing if the book has no such word any more."""
    try:
        return reader(known, text)
    except AnswerError:
        return ()


def _say(state: State, name: str, value: str) -> None:
    """What is said of the machine. A circuit that does not fit it any more is asked for again."""
    state.said.pop(name, None)  # what is said anew comes after what was said since
    state.said[name] = value
    state.volts = int(state.said.get(VOLTS, 0))
    state.circuit = named(state.book, state.said)
    if state.circuit:
        state.volts = state.book.circuits[state.circuit].volts
    state.taken = bool(state.circuit) and is_taken(state.book, state.said)
    _use_held(state)


def _use_held(state: State) -> None:
    """Judge what was read before the machine was known by its own volts; what fits no band is asked for anew."""
    for name, text in state.held.items() if state.circuit else ():
        try:
            understood = understand(state.book.checks[name], text, state.volts, state.batteries)
        except AnswerError:
            continue
        state.epochs[0].taken[name] = Taken(text, understood, asked=False)


def _complaint(state: State, value: str) -> None:
    if value in state.book.complaints:
        state.complaint = value
        state.present.taken[COMPLAINT] = Taken(value, Understood(value), asked=True)
    else:
        state.complaint = "unclear"


def answers_of(asked: Ask, text: str) -> tuple[str, ...]:
    """The answers a text names, several by commas where the question allows it; none if it says that nobody knows.

    Raises:
        AnswerError: a word of it is no answer to the question.
    """
    if text.strip().lower() in UNKNOWN:
        return ()
    pairs = story_choices(asked)
    named = choose_several(text, pairs) if asked.several else (choose(text, pairs),)
    return tuple(name for name in named if name != NOT_SURE[0])


def story_choices(asked: Ask) -> list[tuple[str, str]]:
    """What can be answered to a question of the book, in the order of its list; safety is never left open."""
    pairs = [(answer.id, answer.meaning) for answer in asked.answers]
    return pairs if asked.stage == "safety" else [*pairs, NOT_SURE]


def kit_of(book: Book, text: str) -> tuple[str, ...]:
    """The kit a text names: `all`, `none`, or several by commas; numbers count in the list that is asked.

    Raises:
        AnswerError: a word of it is no declared kit.
    """
    if text.strip().lower() in UNKNOWN:
        return tuple(book.kits)
    pairs = kit_choices(book)
    named = choose_several(text, pairs)
    if "all" in named:
        return tuple(book.kits)
    return tuple(name for name in named if name != "none")


def kit_choices(book: Book) -> list[tuple[str, str]]:
    """What can be answered when the kit is asked for, and what each stands for, in the order of the list."""
    return [("all", "all of these"), ("none", "none of these"), *((kit.id, kit.name) for kit in book.kits.values())]
