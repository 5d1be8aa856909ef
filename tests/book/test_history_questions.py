"""The questions to the owner: enough of them, and each worth its minute on some machine."""

from __future__ import annotations

import pytest

from coldiron.book.history import Ask
from coldiron.judging.composing import setup_of
from coldiron.judging.history import gain
from coldiron.judging.setup import Setup
from support.mechanic import shipped

BOOK = shipped()
HISTORY = [asked for asked in BOOK.questions.values() if asked.stage == "history"]
ENOUGH = 27
"""Questions of history a good mechanic has at hand."""

LEAST = 0.002
"""Bits that each tells on some machine before the complaint; after it suspects are fewer, and it tells more."""


def yard() -> list[Setup]:
    """Every machine of the book, and the variants that its cases are about."""
    names = dict.fromkeys((*BOOK.circuits, *(case.circuit for case in BOOK.cases.values())))
    return [setup_of(BOOK, circuit) for circuit in names]


def test_there_are_enough_of_them() -> None:
    """What happened, what changed, what was done, what was seen."""
    assert len(HISTORY) >= ENOUGH


@pytest.mark.parametrize("asked", HISTORY, ids=lambda asked: asked.id)
def test_each_can_be_worth_asking(asked: Ask) -> None:
    """On some machine of which nothing is known yet it tells enough to be put at all."""
    gains = [gain(setup.history(asked), list(setup.machine.odds.items())) for setup in yard()]
    assert max(gains) >= LEAST


@pytest.mark.parametrize("asked", HISTORY, ids=lambda asked: asked.id)
def test_every_shift_of_it_reaches_some_machine(asked: Ask) -> None:
    """A shift of a fault that no machine has would be a word without weight; so would a minute without a reason."""
    assert asked.minutes > 0
    assert asked.because
    assert asked.source
    for answer in asked.answers:
        for shift in answer.shifts:
            reached = {fault for setup in yard() for fault in setup.grounding.named(shift.faults)}
            assert reached & {fault for setup in yard() for fault in (*setup.machine.faults, *setup.machine.events)}, (
                answer.id,
                str(shift.faults),
            )


@pytest.mark.parametrize("asked", HISTORY, ids=lambda asked: asked.id)
def test_its_answers_differ(asked: Ask) -> None:
    """At least two answers, and no two that say the same of every fault."""
    said = [tuple((str(shift.faults), shift.factor) for shift in answer.shifts) for answer in asked.answers]
    assert len(said) >= 2
    assert len({told for told in said if told}) == len([told for told in said if told])
