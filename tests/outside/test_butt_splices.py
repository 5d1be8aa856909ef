"""NASA-STD-8739.4 (19.11) and part suppliers: which splice joins which wires.

Several wires in one barrel: add their circular mils, take the barrel of that size, and where it falls between two the
next larger (read: yumpu.com/en/document/view/11748674, p. 86). Colours of butt splices: red 22 to 16, blue 16 to 14,
yellow 12 to 10 (read: build-to-roam.pages.dev and vanpartswarehouse.com). Only stranded wire, none that was soldered
(read: workmanship.nasa.gov, 201 General Requirements).
"""

from __future__ import annotations

import pytest

from coldiron.sizing import choose, gauge
from coldiron.sizing.report import sizes

COLOURS = {20: "red", 18: "red", 16: "red", 14: "blue", 12: "yellow", 10: "yellow"}
"""Gauge and colour (read; 16 serves red and blue alike)."""


@pytest.mark.parametrize("number", COLOURS)
def test_one_wire_has_the_colour_of_its_gauge(number: int) -> None:
    assert choose.splice([number]) == (COLOURS[number], number)


def test_two_wires_in_one_barrel_count_as_the_sum_of_their_mils() -> None:
    """Two of 14 AWG are 8214 circular mils (derived), between 12 AWG (6530) and 10 AWG (10380): the larger, yellow."""
    assert 2 * gauge.circular_mils(14) == pytest.approx(8214, rel=1e-3)
    assert choose.splice([14, 14]) == ("yellow", 10)


def test_two_of_16_are_more_than_blue_is_made_for() -> None:
    """5166 circular mils (derived) lie above 14 AWG (4107), so yellow."""
    assert 2 * gauge.circular_mils(16) == pytest.approx(5166, rel=1e-3)
    assert choose.splice([16, 16]) == ("yellow", 12)


@pytest.mark.parametrize("numbers", [[8], [10, 10]])
def test_above_yellow_there_is_no_butt_splice(numbers: list[int]) -> None:
    assert choose.splice(numbers) is None


def test_solder_and_crimp_do_not_go_together() -> None:
    assert "never soldered first" in sizes(8, 6, 12)
