"""What a question of history is worth."""

from __future__ import annotations

from math import log2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.faults import FaultRef
from coldiron.book.history import Answer, Ask, Shift
from coldiron.judging.history import chances, gain


def question(*factors: dict[str, float]) -> Ask:
    """A question with an answer for each set of factors."""
    answers = tuple(
        Answer(f"a{n}", "", tuple(Shift(FaultRef(part, fault=fault), by) for (part, fault), by in _split(shifts)))
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


def test_the_worth_is_the_mutual_information() -> None:
    """Two equal suspects, an answer four times as likely under the one: worked out by hand."""
    suspects = [("a.x", 0.3), ("b.x", 0.3)]
    rows = chances(question({"a.x": 4}, {}), ["a.x", "b.x"], named)
    assert rows == {"a.x": (0.8, 0.2), "b.x": (0.5, 0.5)}
    answer = [0.65, 0.35]
    joint = [[0.4, 0.1], [0.25, 0.25]]
    by_hand = sum(p * log2(p / (0.5 * answer[n])) for row in joint for n, p in enumerate(row))
    assert worth(question({"a.x": 4}, {}), suspects) == pytest.approx(by_hand)


@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=5), st.floats(0.1, 10), st.floats(0.1, 10))
def test_the_worth_is_never_less_than_nothing_nor_more_than_the_doubt(
    shares: list[float], one: float, other: float
) -> None:
    """Between 0 and the entropy of the suspects, and no more than the answers can tell."""
    suspects = [(f"p{n}.x", share) for n, share in enumerate(shares)]
    total = sum(shares)
    doubt = -sum(share / total * log2(share / total) for share in shares)
    bits = worth(question({"p0.x": one}, {"p1.x": other}, {}), suspects)
    assert 0 <= bits <= doubt + 1e-9
    assert bits <= log2(3) + 1e-9
