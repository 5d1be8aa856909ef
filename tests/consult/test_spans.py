"""Limits and ranges: as typed, as shown, and as evidence for every finding that they cover.

Units are those of ISO 80000-1 and IEC 80000-6 (V, A, ohm and their prefixes). How far "or so" reaches is common
practice, no source.
"""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.checks import ODD, UNITS, Check
from coldiron.inference.cells import chance_of
from coldiron.inference.table import misread
from coldiron.judging.witnesses import told_by
from coldiron.readings.coverage import covered
from coldiron.readings.figures import ReadValue, spanned
from coldiron.readings.findings import Understood
from coldiron.readings.interpret import understand
from coldiron.readings.reading import LIMIT
from coldiron.readings.spans import ends, read
from support.mechanic import shipped

CHECKS = [check for check in shipped().checks.values() if check.reads.quantity in UNITS]
SHORT = shipped().checks["dead_side_ohms.main_link"]
VALUES = st.floats(-1e3, 1e6).map(lambda value: round(value, 4) + 0.0)
SPANS = st.tuples(VALUES, VALUES).map(sorted).filter(lambda pair: pair[0] < pair[1])
WORDS = st.sampled_from(
    [
        "less than",
        "under",
        "over",
        ">",
        "<",
        "at least",
        "about",
        "~",
        "or so",
        "between",
        "and",
        "to",
        "from",
        "falling to",
        "or less",
        "or more",
        "up to",
        "3",
        "12.4",
        "1.200",
        "OL",
        "mV",
        "ohm",
        "-",
        ",",
    ]
)


@given(SPANS, st.sampled_from(sorted(UNITS)))
def test_a_range_that_is_shown_is_read_back(span: list[float], quantity: str) -> None:
    """Shown, typed again and shown again: the same range, to the last figure."""
    low, high = (abs(value) for value in span) if quantity == "ohms" else span
    shown = str(spanned(min(low, high), max(low, high), UNITS[quantity]))
    again = read(shown, quantity)
    assert isinstance(again, ReadValue), again
    assert str(again) == shown
    assert ends(again) == (min(low, high), max(low, high))


@given(st.text(max_size=LIMIT + 4) | st.lists(WORDS, max_size=7).map(" ".join), st.sampled_from(sorted(UNITS)))
def test_what_is_read_is_shown_and_read_alike(text: str, quantity: str) -> None:
    """No text raises; what is understood is understood in the same way when it is typed as it is shown."""
    found = read(text, quantity)
    if isinstance(found, ReadValue):
        again = read(str(found), quantity)
        assert isinstance(again, ReadValue), again
        assert (ends(again), again.comparator) == (ends(found), found.comparator)


@given(
    st.sampled_from(CHECKS), SPANS, st.tuples(st.floats(0, 1), st.floats(0, 1)).map(sorted), st.sampled_from([12, 24])
)
def test_a_narrower_span_covers_no_more(check: Check, span: list[float], part: list[float], volts: int) -> None:
    """Of nothing is more covered by a part than by the whole."""
    low, high = (span[0] + share * (span[1] - span[0]) for share in part)
    whole = dict(covered(check, span[0], span[1], volts, volts // 12))
    for name, share in covered(check, low, min(high, span[1]), volts, volts // 12):
        assert share <= whole.get(name, 0.0) + 1e-9


@given(st.sampled_from(CHECKS), SPANS, st.floats(0, 1), st.sampled_from([12, 24]), st.randoms(use_true_random=False))
def test_the_likelihood_of_a_span_is_the_sum_of_its_parts(
    check: Check, span: list[float], cut: float, volts: int, chance: Random
) -> None:
    """Whatever the chances of the findings are."""
    middle = min(span[0] + cut * (span[1] - span[0]), span[1])
    names = [*(finding.id for finding in check.findings), ODD]
    row = tuple(chance.random() for _ in names)

    def likelihood(low: float, high: float) -> float:
        shares = dict(covered(check, low, high, volts, volts // 12))
        return chance_of(row, tuple(shares.get(name, 0.0) for name in names)) or 0.0

    assert likelihood(*span) == pytest.approx(likelihood(span[0], middle) + likelihood(middle, span[1]), abs=1e-9)


def test_a_limit_across_a_short_is_no_clear() -> None:
    """Less than 10 ohm where a short ends at 6: both are open. Within one band it is that band."""
    understood = understand(SHORT, "less than 10", 12, 1)
    assert understood.finding == ""
    assert [name for name, _ in understood.cover] == ["short", "clear"]
    assert dict(understood.cover)["short"] == 1.0
    for text in ("under 5", "<6", "between 3 and 4", "2 or so", "5 or less"):
        assert understand(SHORT, text, 12, 1).finding == "short", text
    for text in (">12", "over 12", "at least 24", "10 or so", "20 to OL", "OL"):
        assert understand(SHORT, text, 12, 1).finding == "clear", text


def test_a_voltage_that_falls_covers_all_it_falls_through() -> None:
    """From 12.4 down to 11 V a battery may be full, half or flat, and rules have no value to reckon with."""
    understood = understand(shipped().checks["rest_volts"], "12.4 falling to 11", 12, 1)
    assert {"flat", "half"} <= dict(understood.cover).keys()
    assert understood.value is None


@given(st.sampled_from(CHECKS), st.lists(st.integers(0, 4), min_size=1, max_size=3))
def test_readings_taken_again_weigh_what_their_reports_say(check: Check, said: list[int]) -> None:
    """Weights of reported findings give each true finding the chance of all the reports, up to one factor."""
    names = [finding.id for finding in check.findings]
    reports = [Understood(names[number % len(names)]) for number in said]
    weights = told_by(check, reports, 0).weights or None
    if weights is None:
        assert len(said) == 1
        return
    ratios = []
    for true in range(len(names) + 1):
        row = misread([float(place == true) for place in range(len(names) + 1)], check.wrong)
        alone = [row[names.index(one.finding)] for one in reports]
        apart = math.prod(alone)
        same = alone[0] if len({one.finding for one in reports}) == 1 else 0.0
        ratios.append((chance_of(row, weights) or 0.0, (same + apart) / 2))
    scale = max(ratios, key=lambda pair: pair[1])
    for got, wanted in ratios:
        assert got / scale[0] == pytest.approx(wanted / scale[1], abs=1e-9)
