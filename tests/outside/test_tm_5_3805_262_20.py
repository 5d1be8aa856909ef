"""TM 5-3805-262-20, p. 5-142: rested volts of a battery, and what to do with them.

Read in a stored copy: constructionloader.tpub.com/TM-5-3805-262-20/css/TM-5-3805-262-20_608.htm.
"""

from __future__ import annotations

import pytest

from support.shop import begin, book, chance, finding, first, is_good, next_step, told, words

RESTED = ((12.6, 100), (12.4, 75), (12.2, 50), (12.0, 25), (11.7, 0))
"""Rested volts of a 12 V battery and its charge in percent (p. 5-142, read). 12.4 V is the pass mark there."""

SINGLE = ("battery_a_rest_volts", "battery_b_rest_volts")


@pytest.mark.parametrize(("volts", "charge"), RESTED)
def test_the_pass_mark_parts_good_from_not_good(volts: float, charge: int) -> None:
    """75 % and more is good, less is not; a 24 V pair is read as two batteries."""
    assert is_good("rest_volts", volts) == (charge >= 75)
    assert is_good("rest_volts", 2 * volts, 24) == (charge >= 75)
    for check in SINGLE:
        assert is_good(check, volts, 24) == (charge >= 75)


@pytest.mark.parametrize(("volts", "charge"), RESTED)
def test_only_an_empty_battery_is_called_flat(volts: float, charge: int) -> None:
    """25 % and 50 % are half charged; 0 % is flat."""
    named = "full" if charge >= 75 else "half" if charge >= 25 else "flat"
    assert finding("rest_volts", volts) == named
    assert finding("rest_volts", 2 * volts, 24) == named
    assert finding("battery_a_rest_volts", volts, 24) == named


def test_the_book_reads_a_battery_as_the_page_does() -> None:
    """Lamps on for 15 s, off, wait 3 min (p. 5-142, read): surface charge is stripped before the reading."""
    how = words(book().checks["rest_volts"])
    assert "15 seconds" in how
    assert "3 minutes" in how


@pytest.mark.parametrize("circuit", ["start_relay", "interlocks"])
def test_below_the_pass_mark_the_next_step_is_a_load_test(circuit: str) -> None:
    """12.3 V is below the pass mark of 12.4 V (p. 5-142, read); the page then goes to the load test."""
    job = told(begin(circuit, "slow_crank"), {"rest_volts": "12.3"})
    assert next_step(job) == "load_test.battery"


def test_at_the_pass_mark_no_load_test_is_forced() -> None:
    job = told(begin("start_relay", "slow_crank"), {"rest_volts": "12.4"})
    assert job.findings["rest_volts"] == "full"
    assert next_step(job) != "load_test.battery"


def test_each_battery_of_a_pair_is_read_on_its_own() -> None:
    """12.6 and 11.7 V add up to 24.3 V: 12.15 V for each would be half charged, and neither is (p. 5-142, derived)."""
    job = told(begin("isolator_24", "slow_crank"), {"rest_volts": "24.3"})
    assert next_step(job) == "battery_a_rest_volts"
    job = told(job, {"battery_a_rest_volts": "11.7", "battery_b_rest_volts": "12.6"})
    assert first(job) in {"ground_battery.flat", "ground_battery.half"}
    assert chance(job, "top_battery.flat") < 0.05
    assert chance(job, "top_battery.half") < 0.05
