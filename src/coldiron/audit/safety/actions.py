"""What a step does that can hurt, seen from its lines, and the caution or the state of the machine that it then lacks.

The book's actions are the table; here every check, repair, duty and change of a setting is held against it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import assert_never

from coldiron.audit.safety.before import Before, before, covers, severe
from coldiron.audit.sites import base, points_of
from coldiron.book.book import Book
from coldiron.book.cautions import (
    Action,
    AsksForSetting,
    IsAnswer,
    IsCheck,
    IsDuty,
    IsInArea,
    IsRepair,
    Mark,
    ReadsQuantity,
    Renews,
    TouchesPoint,
    UsesKit,
)
from coldiron.book.checks import Check
from coldiron.book.duties import Duty
from coldiron.book.faults import Fault
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.mistakes import mistake
from coldiron.phrases import says
from coldiron.record import dataclass, field


@dataclass(frozen=True, slots=True)
class AuditedStep:
    """One thing a person does: what it is called, what its lines say, and the cautions that come before it."""

    what: str
    id: str
    place: Place
    due: frozenset[str]
    text: str = ""
    state: Mapping[str, str] = field(default_factory=dict)
    reads: str = ""
    area: str = ""
    kit: tuple[str, ...] = ()
    points: frozenset[str] = frozenset()
    renews: str = ""
    fault: Fault | None = None


def actions(book: Book) -> tuple[Problem, ...]:
    """Report every step that does what an action of the book describes, and lacks what such a step needs."""
    found: dict[tuple[str, str, str], Problem] = {}
    for step in steps(book) if book.actions else ():
        for action in book.actions.values():
            if by := implied(step, action):
                for problem in _lacking(book, step, action, by):
                    found.setdefault((step.id, action.id, problem.sentence), problem)
    return tuple(found.values())


def steps(book: Book) -> Iterator[AuditedStep]:
    """Yield every step of a book with the cautions that come before it whatever was answered."""
    dues = before(book)
    yield from (_of_check(book, dues, check) for check in book.checks.values())
    yield from (_of_repair(dues, fault) for fault in book.faults.values())
    yield from (_of_duty(dues, duty) for duty in book.duties.values())
    for asked in book.questions.values():
        for answer in asked.answers:
            yield AuditedStep(
                what="answer", id=f"{asked.id} {answer.id}", place=answer.place, due=frozenset(answer.warns)
            )
    for setting in book.settings.values():
        for value in setting.values:
            due = frozenset(dues.settings.get((setting.id, value), ()))
            yield AuditedStep(
                what="setting", id=f"{setting.id} {value}", place=setting.place, due=due, state={setting.id: value}
            )


def _of_check(book: Book, dues: Before, check: Check) -> AuditedStep:
    return AuditedStep(
        what="check",
        id=base(check.id),
        place=check.place,
        due=frozenset(dues.of_check(check)),
        text=f"{check.ask} {check.how}",
        state=check.state,
        reads=check.reads.quantity,
        area=check.area,
        kit=check.kit,
        points=frozenset(point for name in (check.reads.a, check.reads.b) for point in points_of(book, name)),
    )


def _of_repair(dues: Before, fault: Fault) -> AuditedStep:
    what = fault.what
    renews = fault.kind if what.renews else ""
    due = frozenset(dues.of_repair(fault))
    return AuditedStep(
        what="repair", id=fault.id, place=what.place, due=due, text=what.repair, renews=renews, fault=fault
    )


def _of_duty(dues: Before, duty: Duty) -> AuditedStep:
    return AuditedStep(
        what="duty",
        id=duty.id,
        place=duty.place,
        due=frozenset(dues.of_duty(duty)),
        text=f"{duty.ask} {duty.how}",
        state=duty.state,
        reads=duty.quantity,
        area=duty.area,
        kit=duty.kit,
    )


def implied(step: AuditedStep, action: Action) -> str:
    """Return by what a step is seen to do what an action describes, in words; nothing if it does not."""
    for marks in action.whens:
        if all(_holds(step, mark) for mark in marks):
            return ", ".join(map(_in_words, marks))
    return next((f"the words '{phrase}'" for phrase in action.says if says(step.text, phrase)), "")


def _holds(step: AuditedStep, mark: Mark) -> bool:
    match mark:
        case AsksForSetting(setting, value):
            return step.state.get(setting) == value
        case IsRepair(faults):
            return step.fault is not None and covers(faults, step.fault)
        case ReadsQuantity(quantity):
            return step.reads == quantity
        case IsCheck(name) | IsDuty(name):
            return (step.what, step.id) == (mark.form, name)
        case IsAnswer(question, answer):
            return (step.what, step.id) == (mark.form, f"{question} {answer}")
        case Renews(kind):
            return step.renews == kind
        case IsInArea(area):
            return step.area == area
        case UsesKit(kit):
            return kit in step.kit
        case TouchesPoint(point):
            return point in step.points
        case _:
            assert_never(mark)


def _in_words(mark: Mark) -> str:
    """A mark as it is written in a rule file."""
    fields = mark.__match_args__[:-1]
    return " ".join([mark.form, *(str(getattr(mark, name)) for name in fields)])


def _lacking(book: Book, step: AuditedStep, action: Action, by: str) -> Iterator[Problem]:
    for need in action.needs:
        if not any(name in step.due and severe(book, name, need) for name in need.cautions):
            wanted = " or ".join(need.cautions)
            yield mistake(
                "action-uncautioned",
                step.place,
                what=step.what,
                word=step.id,
                does=action.name,
                by=by,
                signal=need.word,
                wanted=wanted,
            )
    for stands in action.stands:
        if not stands.items() & step.state.items():
            wanted = " or ".join(" ".join(pair) for pair in stands.items())
            yield mistake(
                "action-unsafe-state", step.place, what=step.what, word=step.id, does=action.name, by=by, wanted=wanted
            )
