"""Comparisons: strict, with a margin, and unknown while a reading is missing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.engine import Compare

finite = st.floats(allow_nan=False, allow_infinity=False, width=32)


@pytest.mark.parametrize(
    ("compare", "values", "expected"),
    [
        (Compare("feed", "above", 11.9), {"feed": 12.0}, True),
        (Compare("feed", "above", 11.9), {"feed": 11.9}, False),
        (Compare("feed", "below", 11.9), {"feed": 11.9}, False),
        (Compare("feed", "below", 11.9), {"feed": 11.8}, True),
        (Compare("feed", "below", "rest", 0.4), {"feed": 11.9, "rest": 12.6}, True),
        (Compare("feed", "below", "rest", 0.4), {"feed": 12.2, "rest": 12.6}, False),
        (Compare("feed", "above", "rest", 0.2), {"feed": 0.3, "rest": 0.1}, False),
        (Compare("feed", "below", "rest", 0.1), {"feed": 0.7, "rest": 0.8}, False),
        (Compare("feed", "above", 1.0, negated=True), {"feed": 1.0}, True),
        (Compare("feed", "above", 1.0, negated=True), {"feed": 1.1}, False),
        (Compare("ohms", "above", 1000.0), {"ohms": math.inf}, True),
    ],
)
def test_a_comparison_means_more_than_the_margin(compare: Compare, values: dict[str, float], *, expected: bool) -> None:
    """What lies exactly on the bound, in decimals, is neither above nor below."""
    assert compare.holds(values) is expected


@pytest.mark.parametrize("negated", [False, True])
@pytest.mark.parametrize("relation", ["above", "below"])
@pytest.mark.parametrize("values", [{}, {"feed": 1.0}, {"rest": 1.0}, {"feed": math.nan, "rest": 1.0}])
def test_a_missing_reading_leaves_a_comparison_and_its_opposite_unknown(
    values: dict[str, float], relation: str, *, negated: bool
) -> None:
    compare = Compare("feed", "above" if relation == "above" else "below", "rest", negated=negated)
    assert compare.holds(values) is None


@settings(deadline=None)
@given(finite, finite, st.sampled_from([0.0, 0.5]))
def test_a_known_comparison_and_its_opposite_never_agree(left: float, right: float, margin: float) -> None:
    values = {"a": left, "b": right}
    assert Compare("a", "above", "b", margin).holds(values) is not Compare(
        "a", "above", "b", margin, negated=True
    ).holds(values)
    assert Compare("a", "above", "b", margin).holds(values) is Compare("b", "below", "a", margin).holds(values)
