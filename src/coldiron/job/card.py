"""The card of the machine as a job has it: what the log took from it, what was noted for it, what is to be written.

What stands on a card is what the shop once said. It tells the kind of the machine until somebody says otherwise; it
answers no question of how the machine stands, and nothing that was found on another day counts today.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldiron.book.book import Book
from coldiron.book.checks import UNITS, Check
from coldiron.book.machines import Card
from coldiron.book.variants import circuit_named
from coldiron.job.saying import say, settle
from coldiron.job.state import State
from coldiron.job.steps import Answered, CardStep, Step, standing
from coldiron.machine.describing import is_taken, may_be_gone, named
from coldiron.machine.fitting import CIRCUIT, FITTED, GONE, HAS, LIST, OTHER, USUAL, VOLTS
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import replace

CARD = "card"
"""The question whether the machine is still as on its card."""

CHANGED = "changed"
"""The answer that it is not."""

NAME, SAID, NOTE, HEALTHY, FIXED, BARE = "name", "said", "note", "healthy", "fixed", "bare"
"""What an entry of the log took from the card, before a dot and what it is of."""

NOTED, KEEP = "noted", "keep"
"""What was noted for it on this job, and under which name it is kept; NO if it is not."""

NO = "no"

MOST_SHOWN = 3
"""Earlier faults that are shown when a job begins."""

MOST_FIXED, MOST_HEALTHY, MOST_NOTES = 20, 40, 100
"""Lines that are written on a card; of more the latest."""


def steps_of_card(card: Card) -> tuple[CardStep, ...]:
    """The entries of the log by which a job takes over what stands on a card."""
    rows = [(NAME, card.name)]
    for head, lines in ((SAID, card.said), (NOTE, card.notes), (HEALTHY, card.healthy), (FIXED, card.fixed)):
        rows += [(f"{head}.{of}", text) for of, text in lines]
    rows += [(BARE, ",".join(card.bare))] if card.bare else []
    return tuple(CardStep(name, value) for name, value in rows)


def is_taken_over(step: Step) -> bool:
    """Whether an entry of the log only takes over what stood on a card."""
    return isinstance(step, CardStep) and step.id.partition(".")[0] not in (NOTED, KEEP)


def take_line(state: State, step: CardStep) -> None:
    """What an entry about the card changes in the state of a job."""
    head, _, of = step.id.partition(".")
    card, line = state.card, (of, step.value)
    if head == NAME:
        state.card, state.card_off = Card(step.value, notes=state.noted), False  # the card of another machine, if any
    elif head == SAID:
        state.card = replace(card, said=(*card.said, line))
    elif head in (NOTE, NOTED):
        state.card = replace(card, notes=(*card.notes, line))
        state.noted += (line,) if head == NOTED else ()
    elif head == HEALTHY:
        state.card = replace(card, healthy=(*card.healthy, line))
    elif head == FIXED:
        state.card = replace(card, fixed=(*card.fixed, line))
    elif head == BARE:
        state.card = replace(card, bare=tuple(step.value.split(",")))
    elif head == KEEP:
        state.card_kept = step.value


def as_on_card(state: State) -> State | None:
    """The state as it is with the kind of machine that is on its card; None where another was told, or none is."""
    if state.card_off or state.said or state.circuit or not state.card.said:
        return None
    said = dict(state.card.said)
    known = circuit_named(state.book, named(state.book, said))
    if known is None:
        return None
    return replace(state, said=said, circuit=known.id, volts=known.volts, taken=is_taken(state.book, said))


def go_by_card(state: State) -> None:
    """The machine is taken to be as on its card: somebody who was shown it has gone on."""
    if as_on_card(state) is None:
        return
    for name, value in state.card.said:
        say(state, name, value)
    state.of_card = frozenset(state.said)


def leave_card(state: State) -> None:
    """The machine is not as on its card any more: its kind is asked for. Notes still stand."""
    state.card_off = True
    _forget(state, state.of_card)


def _forget(state: State, names: Iterable[str]) -> None:
    gone = set(names)
    state.said = {name: value for name, value in state.said.items() if name not in gone}
    state.of_card -= gone
    settle(state)


def card_denies(state: State, check: str) -> tuple[str, ...]:
    """What of the card alone says that the machine has what a check is made on; empty if somebody said so today."""
    if may_be_gone(state.book, state.said, check):
        return ()
    doubtful = tuple(name for name in state.said if name in state.of_card and name not in (USUAL, VOLTS))
    rest = {name: value for name, value in state.said.items() if name not in doubtful}
    return doubtful if doubtful and may_be_gone(state.book, rest, check) else ()


def doubt_card(state: State, check: str) -> None:
    """What a check is made on is not there: what of the card says otherwise no longer counts."""
    if denied := card_denies(state, check):
        _forget(state, denied)


def notes_about(state: State, names: Iterable[str]) -> tuple[str, ...]:
    """The shop's own notes on parts, points and checks."""
    wanted = set(names)
    return tuple(dict.fromkeys(text for of, text in state.card.notes if of in wanted))


def touched_by(book: Book, check: Check) -> tuple[str, ...]:
    """What a check touches: itself, the points of its probes, the parts at them."""
    found = [check.id, check.reads.part, check.id.partition(".")[2]]
    for point in filter(None, (check.reads.a, check.reads.b)):
        found += [point, point.partition(".")[0]]
        found += [part.id for part in book.parts.values() if point in part.joins.values()]
    return tuple(dict.fromkeys(filter(None, found)))


def healthy_of(state: State, check: str) -> str:
    """What the check read when this machine was sound, the latest; empty if that is not on its card."""
    return next((text for of, text in reversed(state.card.healthy) if of == check), "")


def about_check(check: Check) -> str:
    """What a note made at a check is about: the part it is made on, else the point of the red probe, else itself."""
    return check.reads.part or check.reads.a or check.id


def card_after(state: State, before: Card, day: str) -> Card:
    """The card as it is to be written at the end of a job, from what it is now.

    Args:
        state: of the job.
        before: the card as it lies in its file.
        day: of today, as it is to stand beside what was fixed.
    """
    said = _kind(state) or before.said
    named = dict(said).get(FITTED, "").split(",")
    bare = dict.fromkeys((*before.bare, *state.bare))
    fixed = [(epoch.repaired, day) for epoch in state.epochs if epoch.repaired in state.book.faults]
    return replace(
        before,
        name=before.name or state.card.name,
        said=said,
        bare=tuple(one for one in bare if one in state.book.options and one not in named),
        notes=_latest((*before.notes, *state.noted), MOST_NOTES),
        healthy=_healthy(state, before.healthy),
        fixed=_latest((*before.fixed, *fixed), MOST_FIXED),
    )


def _latest(lines: Iterable[tuple[str, str]], most: int) -> tuple[tuple[str, str], ...]:
    return tuple(dict.fromkeys(lines))[-most:]


def _healthy(state: State, before: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """The figures read good since the last fix, in place of earlier ones of the same check."""
    found = dict(before)
    for name, text in _read_good(state):
        found.pop(name, None)
        found[name] = text
    return tuple(found.items())[-MOST_HEALTHY:]


def _read_good(state: State) -> Iterator[tuple[str, str]]:
    if len(state.epochs) < 2:  # nothing was fixed: what was read good then may have been read beside the fault
        return
    for name, taken in state.present.taken.items():
        check, value = state.book.checks.get(name), taken.understood.value
        unit = UNITS.get(check.reads.quantity, "") if check else ""
        if check and unit and value is not None and taken.understood.finding == check.good and abs(value) < HIGHEST:
            yield name, f"{value:.4g} {unit}"


HIGHEST = 1e6
"""A reading of more is an open line, and no figure."""


def _kind(state: State) -> tuple[tuple[str, str], ...]:
    """What is known of the kind of the machine: its circuit, or, where that is only taken, all that was said."""
    if not state.circuit:
        return ()
    answered = [step for step in standing(state.log) if isinstance(step, Answered) and step.id == FITTED]
    guessed = bool(answered) and answered[-1].value in UNKNOWN  # then an option is taken for it, which nobody has seen
    if not state.taken and not guessed:
        usual = [(USUAL, state.said[USUAL])] if state.said.get(USUAL) in state.book.usual else []
        return (*usual, (CIRCUIT, state.circuit))
    left_out = (*UNKNOWN, LIST, OTHER, "none", "")
    known = {name: value for name, value in state.said.items() if value not in left_out}
    if guessed:
        known.pop(FITTED, None)
    order = (USUAL, VOLTS, CIRCUIT, HAS, FITTED, GONE)
    return tuple(
        sorted(known.items(), key=lambda one: next(at for at, head in enumerate(order) if one[0].startswith(head)))
    )
