"""The number beside a choice means that choice, at every question of a whole job."""

from __future__ import annotations

import pytest

from coldiron import Question
from support.mechanic import shipped, worked

JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")
PLACES = [place for place, now in enumerate(JOB.after) if now.next and now.next.choices and now.next.kind != "caution"]


def numbered(asked: Question) -> list[tuple[str, str]]:
    return [(str(number), choice) for number, choice in enumerate(asked.choices, 1)]


@pytest.mark.parametrize("place", PLACES)
def test_a_number_is_the_choice_that_stands_beside_it(place: int) -> None:
    """Typing the number of a row or its word leads to the same job."""
    now = JOB.after[place]
    assert now.next is not None
    for number, choice in numbered(now.next):
        assert now.answer(now.next.id, number).state == now.answer(now.next.id, choice).state


@pytest.mark.parametrize("name", [asked.id for asked in shipped().questions.values()])
def test_a_number_is_the_answer_that_stands_beside_it(name: str) -> None:
    """Likewise for every question to the owner, asked or not."""
    now = JOB.after[PLACES[-1]]
    for number, choice in numbered(now.question(name)):
        assert now.answer(name, number).state.questions == now.answer(name, choice).state.questions


def test_several_numbers_are_several_choices() -> None:
    """Numbers and words may be mixed where several may be chosen; `all` is all of them."""
    now = next(one for one in JOB.after if one.next and one.next.id == "kit")
    assert now.answer("kit", "3, lamp").state.kit == frozenset(("meter", "lamp"))
    assert now.answer("kit", "1").state.kit == frozenset(shipped().kits)
    assert now.answer("kit", "2").state.kit == frozenset()
