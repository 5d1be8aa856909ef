"""Every line that calls for a DANGER or WARNING, taken out of the shipped book by itself: the audit misses it.

A line that leaves what stands before every step as it was is no loss: the same caution comes up by another line.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

from coldiron.audit.safety.actions import AuditedStep, actions, implied, steps
from coldiron.audit.safety.before import TYPED, severe
from coldiron.audit.safety.cautions import cautions
from coldiron.audit.safety.hazards import hazards
from coldiron.book.book import Book
from coldiron.book.cautions import Action
from coldiron.record import replace
from support.mechanic import shipped

THOROUGH = bool(os.environ.get("COLDIRON_THOROUGH"))
EVERY = 1 if THOROUGH else 12
"""In a plain run each twelfth line is tried."""

Line = tuple[str, ...]


def without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    """Some cautions without one."""
    return tuple(one for one in names if one != name)


def typed(names: tuple[str, ...]) -> Iterator[str]:
    """Those of some cautions that have to be acknowledged by a word."""
    return (name for name in names if shipped().cautions[name].word in TYPED)


def lines() -> Iterator[Line]:
    """Every line: the caution, and what it stands in."""
    book = shipped()
    for caution in book.cautions.values():
        if caution.word in TYPED:
            yield from ((caution.id, "due", str(number)) for number in range(len(caution.due)))
    for check in book.checks.values():
        yield from ((name, "check", check.id.partition(".")[0]) for name in typed(check.warns))
    for duty in book.duties.values():
        yield from ((name, "duty", duty.id) for name in typed(duty.warns))
    for fault in book.faults.values():
        yield from ((name, "repair", fault.kind, fault.what.id) for name in typed(fault.what.cautions))
    for asked in book.questions.values():
        for answer in asked.answers:
            yield from ((name, "answer", asked.id, answer.id) for name in typed(answer.warns))


def cut(name: str, where: str, *what: str) -> Book:
    """The book without one line."""
    book = shipped()
    changed: dict[str, Any]
    if where == "due":
        caution, number = book.cautions[name], int(what[0])
        kept = replace(caution, due=caution.due[:number] + caution.due[number + 1 :])
        return replace(book, cautions={**book.cautions, name: kept})
    if where == "check":
        found = {key: one for key, one in book.checks.items() if key.partition(".")[0] == what[0]}
        changed = {key: replace(one, warns=without(one.warns, name)) for key, one in found.items()}
        return replace(book, checks={**book.checks, **changed})
    if where == "duty":
        duty = book.duties[what[0]]
        changed = {duty.id: replace(duty, warns=without(duty.warns, name))}
        return replace(book, duties={**book.duties, **changed})
    if where == "repair":
        these = [one for one in book.faults.values() if (one.kind, one.what.id) == what]
        changed = {
            one.id: replace(one, what=replace(one.what, cautions=without(one.what.cautions, name))) for one in these
        }
        return replace(book, faults={**book.faults, **changed})
    asked = book.questions[what[0]]
    answers = tuple(replace(one, warns=without(one.warns, name)) if one.id == what[1] else one for one in asked.answers)
    return replace(book, questions={**book.questions, asked.id: replace(asked, answers=answers)})


@cache
def done() -> list[tuple[AuditedStep, tuple[Action, ...]]]:
    """Every step of the whole book, and what it does; a line taken out changes neither its text nor its settings."""
    acts = shipped().actions.values()
    return [(step, tuple(action for action in acts if implied(step, action))) for step in steps(shipped())]


def lost(book: Book) -> list[tuple[AuditedStep, tuple[Action, ...]]]:
    """The steps that have other cautions before them now, and what they do."""
    return [(now, acts) for now, (step, acts) in zip(steps(book), done(), strict=True) if now.due != step.due]


def lacks(book: Book, step: AuditedStep, action: Action) -> bool:
    """Whether a step that does so lacks a caution that the action needs."""
    return any(
        not any(name in step.due and severe(book, name, need) for name in need.cautions) for need in action.needs
    )


def noticed(book: Book) -> bool:
    """Whether the audit says something of a book that lost a line, or nothing was lost by it."""
    changed = lost(book)
    if not changed or any(lacks(book, step, action) for step, acts in changed for action in acts):
        return True
    return any(problem.weight == "error" for problem in (*hazards(book), *cautions(book)))


LINES = list(dict.fromkeys(lines()))


@pytest.mark.parametrize("part", range(8))
def test_no_line_of_a_caution_can_be_lost_unnoticed(part: int) -> None:
    """Each is tried by itself; all of them in a thorough run."""
    tried = LINES[part::8][::EVERY]
    assert len(LINES) > 400
    assert tried
    assert [line for line in tried if not noticed(cut(*line))] == []


def test_what_is_lost_is_what_the_whole_audit_says() -> None:
    """The way round by the steps that changed says the same as the audit of the whole book."""
    book = cut("crank_area", "due", "0")
    assert lost(book)
    assert actions(book)
    assert not actions(shipped())
