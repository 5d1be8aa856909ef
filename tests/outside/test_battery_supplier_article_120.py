"""A battery supplier's article 120 (discoverbattery.com), tables 6 and 7: a second table of rested volts.

Read in a stored copy. It differs from TM 5-3805-262-20 by up to 0.19 V (12.6 and 12.65 V full, 11.7 and 11.89 V empty),
so the bands of the book are held against both.
"""

from __future__ import annotations

import pytest

from coldiron.book.faults import SetsValue
from support.shop import book, finding, machine, words

RESTED = ((12.65, 100), (12.45, 75), (12.24, 50), (12.06, 25), (11.89, 0))
"""Rested volts of a 12 V battery and its charge in percent (table 6, read)."""


@pytest.mark.parametrize(("volts", "charge"), RESTED)
def test_the_second_table_falls_in_the_same_bands(volts: float, charge: int) -> None:
    named = "full" if charge >= 75 else "half" if charge >= 25 else "flat"
    assert finding("rest_volts", volts) == named
    assert finding("rest_volts", 2 * volts, 24) == named
    for check in ("battery_a_rest_volts", "battery_b_rest_volts"):
        assert finding(check, volts, 24) == named


@pytest.mark.parametrize("circuit", ["direct_start", "start_relay", "interlocks", "coded_start", "isolator_24"])
def test_a_sound_battery_of_the_book_is_a_full_one(circuit: str) -> None:
    """12.65 V is 100 % (table 6, read)."""
    made = machine(circuit)
    batteries = [part for part in made.parts.values() if part.kind == "battery"]
    assert len(batteries) == made.batteries
    assert {part.values["volts"] for part in batteries} == {12.65}


def test_a_half_charged_battery_of_the_book_holds_no_more_than_half() -> None:
    """12.24 V is 50 % in table 6, 12.2 V in TM 5-3805-262-20 (both read): half and flat lie at or below both."""
    sizes = {
        fault.id: (effect.low, effect.high)
        for fault in book().kinds["battery"].faults
        for effect in fault.effects
        if isinstance(effect, SetsValue) and effect.value == "volts"
    }
    assert sizes["half"][1] <= 12.25
    assert sizes["flat"][1] <= 12.06
    assert sizes["flat"][0] > sizes["empty"][1]


def test_the_hydrometer_is_corrected_by_the_printed_step() -> None:
    """0.004 for each 10 F about 80 F (table 7, read; the same step fits TM 5-1185 table IV)."""
    how = words(book().checks["cell_gravity.battery"])
    assert "0.004 for each 10 F" in how
    assert "80 F" in how


def test_the_slip_of_table_7_is_not_in_the_book() -> None:
    """Table 7 also takes 0.024 V off the volts for each 10 F, which is only six times the step of the gravity.

    Rested volts hardly move with temperature, so the book corrects the gravity and never the volts.
    """
    for name in ("rest_volts", "battery_a_rest_volts", "battery_b_rest_volts"):
        assert "10 F" not in words(book().checks[name])
