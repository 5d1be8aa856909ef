"""One thing done at the machine to learn something: a reading, or what eyes, ears and hands find."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.book.checks import UNITS, Check, Finding
from coldiron.job.at_machine import (
    area_minutes,
    change_minutes,
    is_left,
    step_taken,
    step_untold,
    stretch_minutes,
)
from coldiron.job.card import card_denies, doubt_card, healthy_of, notes_about, touched_by
from coldiron.job.cautions import before_check, target
from coldiron.job.question import Question
from coldiron.job.saying import say
from coldiron.job.state import State, Taken
from coldiron.job.steps import Answered, AnswerStep
from coldiron.machine.describing import may_be_gone
from coldiron.machine.fitting import GONE
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.findings import NOTHING, Understood, bounds
from coldiron.readings.interpret import kept, understand
from coldiron.readings.refusal import NOT_FITTED, AnswerError


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
        notes=notes_about(state, touched_by(state.book, check)) if state.card.notes else (),
    )


def changes_in_words(state: State, after: dict[str, str]) -> tuple[str, ...]:
    """What has to be set on the machine first, one setting a line."""
    return tuple(
        f"{state.book.settings[name].name}: {value}" for name, value in after.items() if state.settings[name] != value
    )


def good_in_words(state: State, check: Check) -> str:
    """What a sound machine shows."""
    finding = next((f for f in check.findings if f.id == check.good), None)
    words = finding_in_words(state, check, finding) if finding else ""
    own = healthy_of(state, check.id) if words else ""
    return f"{words} (this machine, sound: {own})" if own else words


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


class AtMachine(KindOfQuestion):
    """A check. Its answer is a reading, also where nobody asked for it."""

    by_name = True
    reading = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether the book has such a check."""
        return name in book.checks

    def ask(self, state: State, name: str) -> Question:
        """Ask for the reading, with what has to be set first."""
        return ask_check(state, state.book.checks[name])

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read a figure as it was typed, or the id of what was found."""
        check = state.book.checks[asked.id]
        if not state.circuit:
            return kept(check, text)
        if text.lower() == NOT_FITTED:
            return _not_fitted(state, check)
        understood = understand(check, text, state.volts, state.batteries, sure=sure)
        return text if asked.unit or not understood.finding else understood.finding

    def apply(self, state: State, step: Answered) -> None:
        """Keep the reading; where it was asked for, the machine stood as the check needs it."""
        check = state.book.checks[step.id]
        if not state.circuit:  # kept, and judged once the machine is known
            state.held[check.id] = step.value
            return
        _keep(state, check, step)
        if state.once_more == check.id:
            state.once_more = ""
        if isinstance(step, AnswerStep) or is_left(step.value):
            step_taken(state, check, step)
        if step.value == NOT_FITTED:
            doubt_card(state, check.id)
            say(state, GONE + check.id, step.value)

    def take_back(self, state: State, name: str) -> None:
        """Nobody knows whether what the step moved was put back."""
        if state.circuit:
            step_untold(state, state.book.checks[name])

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell what was asked, and the reading, or the finding by its meaning."""
        check = state.book.checks[name]
        findings = {finding.id: finding.meaning for finding in check.findings}
        return f"{check.ask}:", findings.get(value) or value


def _keep(state: State, check: Check, step: Answered) -> None:
    """Keep what was read, beside what was read before of the same thing."""
    before = state.present.taken.get(check.id)
    if before is not None and (isinstance(step, AnswerStep) or is_left(step.value)):
        state.present.again.add(check.id)
    understood = _understood(state, check, step.value)
    if understood.tells or check.id not in state.present.again:  # who cannot take it again leaves it as it was
        earlier = witnesses(check, before, understood)
        state.present.taken[check.id] = Taken(step.value, understood, isinstance(step, AnswerStep), earlier)


def _understood(state: State, check: Check, text: str) -> Understood:
    """What an answer of the log says; nothing where a changed machine has made an old choice meaningless."""
    if text == NOT_FITTED:
        return NOTHING
    try:
        return understand(check, text, state.volts, state.batteries, sure=True)
    except AnswerError:
        return NOTHING


def witnesses(check: Check, before: Taken | None, now: Understood) -> tuple[Understood, ...]:
    """What was read before of the same thing and still counts beside what is read now: measured, and no less exact."""
    if before is None or check.reads.quantity not in UNITS:
        return ()
    return tuple(one for one in (*before.earlier, before.understood) if one.finding or (one.cover and now.cover))


def _not_fitted(state: State, check: Check) -> str:
    if not may_be_gone(state.book, state.said, check.id) and not card_denies(state, check.id):
        said = "You said that this machine has it. Type 'cannot reach', or type change to correct your answers."
        raise AnswerError("not now", said)
    return NOT_FITTED
