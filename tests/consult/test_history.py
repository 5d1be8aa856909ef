"""What a question of history is worth, and how far what is told reaches."""

from __future__ import annotations

from math import log2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.faults import FaultRef
from coldiron.book.history import LOOSE, Answer, Ask, Shift
from coldiron.judging.history import MOST_SAID, chances, gain, has_to_tell, turns
from coldiron.ruling.directives import Shifted, combined
from support.mechanic import shipped

COMMON = (0.0, 0.02, 0.1, 0.3)
"""How common answers are in these tests; 0: the book says nothing of it."""


def question(*factors: dict[str, float], common: float = 0.0) -> Ask:
    """A question with an answer for each set of factors."""
    answers = tuple(
        Answer(
            f"a{n}",
            "",
            tuple(Shift(FaultRef(part, fault=fault), by) for (part, fault), by in _split(shifts)),
            common=common if shifts else 0.0,
        )
        for n, shifts in enumerate(factors)
    )
    return Ask(
        id="q", ask="?", stage="history", topic="t", minutes=1.0, answers=answers, several=False, because="", source=""
    )


def _split(shifts: dict[str, float]) -> list[tuple[tuple[str, str], float]]:
    return [((name.split(".")[0], name.split(".")[1]), by) for name, by in shifts.items()]


def worth(asked: Ask, suspects: list[tuple[str, float]]) -> float:
    return gain(chances(asked, [name for name, _ in suspects], named), suspects)


def named(ref: FaultRef) -> list[str]:
    return [f"{ref.part}.{ref.fault}"]


def test_a_question_that_moves_nothing_is_worth_nothing() -> None:
    """No shift, or the same for every suspect, tells nothing."""
    suspects = [("a.x", 0.5), ("b.x", 0.5)]
    assert worth(question({}, {}), suspects) == 0
    assert worth(question({"a.x": 4, "b.x": 4}, {}), suspects) == pytest.approx(0)


def test_a_question_of_one_answer_or_without_suspects_is_worth_nothing() -> None:
    """There is nothing to tell apart."""
    assert worth(question({"a.x": 4}), [("a.x", 1.0)]) == 0
    assert worth(question({"a.x": 4}, {}), []) == 0


def test_the_worth_is_what_its_answers_move() -> None:
    """Two equal suspects, an answer that one owner in ten gives, four times as likely under the one: by hand."""
    suspects = [("a.x", 0.3), ("b.x", 0.3)]
    rows = chances(question({"a.x": 4}, {}), ["a.x", "b.x"], named)
    assert rows == {"a.x": pytest.approx((0.4,)), "b.x": pytest.approx((0.1,))}
    given_at_all = (0.4 + 0.1) / 2
    moved = log2(2) - (0.8 * log2(1 / 0.8) + 0.2 * log2(1 / 0.2))  # odds of 4 to 1 in place of even ones
    assert worth(question({"a.x": 4}, {}), suspects) == pytest.approx(given_at_all * moved)


def test_what_few_owners_tell_is_worth_little() -> None:
    """A story that moves odds eightfold is worth a fifth where a fifth as many owners have it to tell."""
    suspects = [("a.x", 0.1), ("b.x", 0.9)]
    rare, common = (worth(question({"a.x": 8}, {}, common=share), suspects) for share in (0.02, 0.1))
    assert rare == pytest.approx(common / 5)


@given(st.sampled_from(COMMON), st.lists(st.floats(0.01, 100), min_size=1, max_size=4), st.booleans())
def test_chances_of_answers_leave_room_for_one_who_has_nothing_to_tell(
    common: float,
    factors: list[float],
    plain: bool,  # noqa: FBT001 - drawn
) -> None:
    """However strong the answers and however many."""
    asked = question(*({"a.x": by} for by in factors), *([{}] if plain else []), common=common)
    for row in chances(asked, ["a.x", "b.x"], named).values():
        assert all(share > 0 for share in row)
        assert sum(row) <= MOST_SAID + 1e-9


@given(
    st.lists(st.floats(0.01, 1), min_size=2, max_size=5),
    st.floats(0.1, 10),
    st.floats(0.1, 10),
    st.sampled_from(COMMON),
)
def test_the_worth_is_never_less_than_nothing_nor_more_than_the_doubt(
    shares: list[float], one: float, other: float, common: float
) -> None:
    """Between 0 and the entropy of the suspects, and no more than the answers can tell."""
    suspects = [(f"p{n}.x", share) for n, share in enumerate(shares)]
    total = sum(shares)
    doubt = -sum(share / total * log2(share / total) for share in shares)
    bits = worth(question({"p0.x": one}, {"p1.x": other}, {}, common=common), suspects)
    assert 0 <= bits <= doubt + 1e-9
    assert bits <= log2(3) + 1e-9


SHIFTS = st.builds(
    Shifted,
    fault=st.sampled_from(["a.x", "b.x"]),
    topic=st.text(max_size=2),
    factor=st.floats(0.01, 100),
    source=st.just("q"),
    most=st.sampled_from([LOOSE, LOOSE, 40.0]),
)


@given(st.lists(SHIFTS, max_size=8))
def test_what_is_loosely_told_stays_within_ten_and_the_rest_within_what_is_declared(shifts: list[Shifted]) -> None:
    """Whatever is told together."""
    for fault, factor in combined(shifts).items():
        most = max(shift.most for shift in shifts if shift.fault == fault)
        assert 1 / most - 1e-12 <= factor <= most + 1e-9


@given(st.lists(SHIFTS, max_size=6), st.floats(2, 10))
def test_an_event_known_to_the_day_counts_beside_any_loose_history(shifts: list[Shifted], by: float) -> None:
    """It takes nothing from what is loosely told, and nothing loosely told uses up its room."""
    loose = [shift for shift in shifts if shift.most == LOOSE]
    before = combined(loose).get("a.x", 1.0)
    after = combined([*loose, Shifted("a.x", "event", by, "q", 100.0)])["a.x"]
    assert after == pytest.approx(before * by)


def test_a_question_turns_a_verdict_only_where_its_answer_may_name_another_part() -> None:
    """Odds of 6 to 4: an answer four times likelier under the second makes it lead; by hand .6 * .1 + .4 * .4."""
    suspects = [("a.x", 0.6), ("b.x", 0.4)]
    assert turns(chances(question({"b.x": 4}, {}), ["a.x", "b.x"], named), suspects) == pytest.approx(0.22)
    assert turns(chances(question({"b.x": 1.4}, {}), ["a.x", "b.x"], named), suspects) == 0
    assert turns(chances(question({"a.x": 4}, {}), ["a.x", "b.x"], named), suspects) == 0


def test_another_fault_of_the_same_part_turns_nothing() -> None:
    suspects = [("a.x", 0.6), ("a.y", 0.4)]
    assert turns(chances(question({"a.y": 4}, {}), ["a.x", "a.y"], named), suspects) == 0


def test_who_has_had_nothing_to_tell_is_asked_less() -> None:
    """One in two after one question in vain, one in four after three; it does not fall while every answer counts."""
    book = shipped()
    plain, moving = {"rodents": ("none",)}, {"rodents": ("nest",), "water": ("washed",)}
    assert has_to_tell(book, {}) == 1
    assert has_to_tell(book, plain) == 0.5
    assert has_to_tell(book, {**plain, "water": (), "moved": ("none",)}) == 0.25
    assert has_to_tell(book, moving) == 1
    assert has_to_tell(book, {"raised": ("none",), "engine_inside": ("sound",)}) == 1  # these are no history
