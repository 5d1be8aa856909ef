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


def test_low_batteries_of_the_book_begin_below_the_pass_mark() -> None:
    """12.4 V passes (TM 5-3805-262-20); 12.06 V is 25 % and 11.89 V empty in table 6 (all read).

    Half begins below the pass mark, flat at 25 % and below. A load left on goes on below what the tables call empty, so
    flat and empty meet without a gap. A sound cell is a sixth of a full battery, about 2.1 V, and a dead one has none.
    """
    sizes = {
        fault.id: (effect.mild, effect.severe)
        for fault in book().kinds["battery"].faults
        for effect in fault.effects
        if isinstance(effect, SetsValue) and effect.value == "volts"
    }
    assert 12.24 <= sizes["half"][0] < 12.4
    assert 11.89 <= sizes["half"][1] <= sizes["flat"][0] <= 12.06
    assert sizes["flat"][1] <= sizes["empty"][0]
    full, quarter = 12.65 * 5 / 6, 12.06 * 5 / 6
    assert sizes["dead_cell"][1] < quarter < full < sizes["dead_cell"][0] < full + 0.25


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
