"""The number beside a choice means that choice, at every question of a whole job."""

from __future__ import annotations

from functools import cache

import pytest

from coldiron import Consultation, Question
from support.mechanic import shipped, worked

JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")


@cache
def choosing() -> list[Consultation]:
    """The job wherever it asks for a choice."""
    return [now for now in JOB.after if now.next and now.next.choices and now.next.kind != "caution"]


def numbered(asked: Question) -> list[tuple[str, str]]:
    return [(str(number), choice) for number, choice in enumerate(asked.choices, 1)]


def test_a_number_is_the_choice_that_stands_beside_it() -> None:
    """Typing the number of a row or its word leads to the same job."""
    assert choosing()
    for now in choosing():
        assert now.next is not None
        for number, choice in numbered(now.next):
            assert now.answer(now.next.id, number).state == now.answer(now.next.id, choice).state


@pytest.mark.parametrize("name", [asked.id for asked in shipped().questions.values()])
def test_a_number_is_the_answer_that_stands_beside_it(name: str) -> None:
    """Likewise for every question to the owner, asked or not."""
    now = choosing()[-1]
    for number, choice in numbered(now.question(name)):
        assert now.answer(name, number).state.questions == now.answer(name, choice).state.questions


def test_several_numbers_are_several_choices() -> None:
    """Numbers and words may be mixed where several may be chosen; `all` is all of them."""
    now = next(one for one in JOB.after if one.next and one.next.id == "kit")
    assert now.answer("kit", "3, lamp").state.kit == frozenset(("meter", "lamp"))
    assert now.answer("kit", "1").state.kit == frozenset(shipped().kits)
    assert now.answer("kit", "2").state.kit == frozenset()
