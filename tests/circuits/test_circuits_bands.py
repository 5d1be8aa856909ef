"""From values to findings."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.checks import Band, Finding
from coldiron.circuits.bands import Scale, chances, finding_of, scale
from support import networks

DEAD = Finding("dead", "", (Band(-0.3, 1.0),))
LIVE = Finding("live", "", (Band(11.9, 13.2, per_battery=True),))
OTHER = Finding("other", "", (Band(1.0, 6.0, volts=12), Band(1.0, 12.0, volts=24), Band(6.0, 8.0, volts=12)))


def of(*findings: Finding, volts: int = 12, batteries: int = 1, spread: float = 0.03, step: float = 0.02) -> Scale:
    return scale(
        networks.check("it", "volts", findings=findings, spread=spread, step=step), volts=volts, batteries=batteries
    )


def test_bands_by_voltage_and_by_battery() -> None:
    """A band for 12 V is not one of a 24 V machine; only bounds per battery are multiplied."""
    assert of(DEAD, OTHER, LIVE).bands == ((0, -0.3, 1.0), (1, 1.0, 6.0), (1, 6.0, 8.0), (2, 11.9, 13.2))
    assert of(DEAD, OTHER, LIVE, volts=24, batteries=2).bands == ((0, -0.3, 1.0), (1, 1.0, 12.0), (2, 23.8, 26.4))


@pytest.mark.parametrize(
    ("reading", "finding"), [(-0.3, 0), (0.999, 0), (1.0, 1), (8.0, 3), (11.9, 2), (13.2, 3), (-12.6, 3), (math.inf, 3)]
)
def test_a_reading_is_in_a_band_from_its_low_bound_to_just_below_its_high_one(reading: float, finding: int) -> None:
    """The number after the last finding is odd; the sign counts."""
    assert finding_of(of(DEAD, OTHER, LIVE), reading) == finding


def test_an_open_line_is_in_the_band_that_goes_beyond_every_ohmmeter() -> None:
    clear, short = Finding("clear", "", (Band(50.0, 1e9),)), Finding("short", "", (Band(-1.0, 50.0),))
    found = of(clear, short)
    assert finding_of(found, math.inf) == 0
    assert finding_of(found, -math.inf) == 2
    assert chances(found, [math.inf, 1.0]) == pytest.approx((0.5, 0.5, 0.0))


@given(
    st.lists(st.floats(-30, 30), min_size=1, max_size=3),
    st.floats(0, 0.2),
    st.floats(0, 0.5),
    st.sampled_from([(12, 1), (24, 2)]),
)
def test_chances_are_chances(values: list[float], spread: float, step: float, machine: tuple[int, int]) -> None:
    """One for each finding and one for odd, none negative, adding up to 1."""
    found = chances(of(DEAD, OTHER, LIVE, volts=machine[0], batteries=machine[1], spread=spread, step=step), values)
    assert len(found) == 4
    assert all(chance >= 0 for chance in found)
    assert sum(found) == pytest.approx(1)


@given(st.floats(-1, 14), st.floats(0.001, 0.2), st.floats(0.001, 0.5))
def test_the_spread_is_a_bell_curve_of_share_and_amount_together(value: float, spread: float, step: float) -> None:
    """Against the standard library's normal distribution."""
    bell = NormalDist(value, math.hypot(step, spread * abs(value)))
    found = chances(of(DEAD, LIVE, spread=spread, step=step), [value])
    assert found[0] == pytest.approx(bell.cdf(1.0) - bell.cdf(-0.3), abs=1e-9)
    assert found[1] == pytest.approx(bell.cdf(13.2) - bell.cdf(11.9), abs=1e-9)


def test_without_spread_a_value_has_one_finding() -> None:
    assert chances(of(DEAD, LIVE, spread=0, step=0), [12.0]) == (0, 1, 0)


def test_bands_that_overlap_share_the_chance() -> None:
    """The audit of a book reports them; here nothing adds up to more than 1."""
    assert chances(of(DEAD, DEAD), [0.3]) == pytest.approx((0.5, 0.5, 0))
