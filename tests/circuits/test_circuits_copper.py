"""Ohms of wire."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.circuits.copper import SIZES, milliohms_per_meter, wire_ohms


@pytest.mark.parametrize(("area", "milliohms"), SIZES)
def test_a_listed_size_has_its_listed_ohms(area: float, milliohms: float) -> None:
    """Metric cable class figures, from memory of the cable standard for road vehicles."""
    assert milliohms_per_meter(area) == pytest.approx(milliohms)


@pytest.mark.parametrize(
    ("gauge_area", "ohm_per_foot"),
    [(2.08, 0.00306), (3.31, 0.00202), (5.26, 0.00126), (13.3, 0.00044), (21.2, 0.00028)],
)
def test_american_gauges_come_out_near_the_aviation_table(gauge_area: float, ohm_per_foot: float) -> None:
    """14, 12, 10, 6 and 4 AWG of AC 43.13-1B chapter 11, ohm per foot: tinned aircraft strand, up to 16 % apart."""
    assert milliohms_per_meter(gauge_area) == pytest.approx(ohm_per_foot / 0.3048 * 1000, rel=0.16)


@given(st.floats(0.05, 500), st.floats(0.05, 500))
def test_thicker_wire_never_has_more_ohms(one: float, other: float) -> None:
    thin, thick = sorted((one, other))
    assert milliohms_per_meter(thick) <= milliohms_per_meter(thin) * (1 + 1e-12)


@given(st.floats(0.05, 500))
def test_every_size_has_a_little_more_ohms_than_pure_copper(area: float) -> None:
    """17.24 milliohm mm2 per meter at 20 C (the annealed copper standard of 1913, from memory), and 2 to 12 % more."""
    assert 1.02 < milliohms_per_meter(area) * area / 17.24 < 1.12


def test_joints_add_to_the_run() -> None:
    """2 m of 4 mm2 and 2 milliohm of joints: 2 x 4.71 + 2 milliohm."""
    assert wire_ohms(4, 2, 0.002) == pytest.approx(0.01142)


@pytest.mark.parametrize("area", [0.0, -1.0, float("nan")])
def test_a_wire_without_area_is_refused(area: float) -> None:
    with pytest.raises(ValueError, match="area above 0"):
        milliohms_per_meter(area)
