"""ASTM B258, the American wire gauge: diameter by its formula, and two tables and a bad one held against it.

d = 0.005 in times 92^((36 - n) / 39): formula read in public code (search word awg2mm, "0.127 mm * 92^((36-AWG)/39)").
Diameters and circular mils read in "Lessons in Electric Circuits" vol. V, table of copper wire (github
Leeds-Beckett-Engineering/lessons_elec, src/Ref/citable.sml). Ohms of 1000 ft of bare solid copper at 20 C read at
cirris.com/wire-resistance-calculator.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from coldiron.sizing import gauge

WIRES = {
    -3: (0.4600, 211600),
    -2: (0.4096, 167800),
    -1: (0.3648, 133100),
    0: (0.3249, 105500),
    1: (0.2893, 83690),
    2: (0.2576, 66370),
    4: (0.2043, 41740),
    6: (0.1620, 26250),
    8: (0.1285, 16510),
    10: (0.1019, 10380),
    12: (0.08081, 6530),
    14: (0.06408, 4107),
    16: (0.05082, 2583),
    18: (0.04030, 1624),
    20: (0.03196, 1022),
}
"""Gauge (0 to -3 stand for 1/0 to 4/0), inches, circular mils: read in the table."""

OHMS = {12: 1.588, 14: 2.525, 16: 4.016, 18: 6.385, 20: 10.15}
"""Gauge and ohms of 1000 ft (read)."""

BY_HAND = {8: 0.6529, 10: 0.8441}
"""Two rows of a table copied by hand (read: aelinik.online.fr/awg.htm), one 4 % high, one 15 % low."""

STEP = 92 ** (2 / 39)
"""By so much every number of the gauge multiplies the ohms (derived)."""


@pytest.mark.parametrize("number", WIRES)
def test_the_formula_gives_the_printed_wire(number: int) -> None:
    inches, mils = WIRES[number]
    assert gauge.inches(number) == pytest.approx(inches, rel=6e-4)
    assert gauge.circular_mils(number) == pytest.approx(mils, rel=6e-4)


def test_the_gauge_begins_and_ends_where_it_is_defined() -> None:
    """36 AWG is 0.0050 in and 4/0 is 0.4600 in (NBS Handbook 100 by the front matter of its copies, read)."""
    assert gauge.inches(36) == pytest.approx(0.005)
    assert gauge.inches(-3) == pytest.approx(0.46)
    assert gauge.name(-3) == "4/0 AWG"


@pytest.mark.parametrize("number", OHMS)
def test_ohms_of_a_length_are_the_printed_ones(number: int) -> None:
    assert 1000 * gauge.METERS_A_FOOT * gauge.ohms_a_meter(number) == pytest.approx(OHMS[number], rel=1e-3)


def test_each_number_multiplies_the_ohms_by_the_same_step() -> None:
    for thick, thin in pairwise(range(-3, 21)):
        assert gauge.ohms_a_meter(thin) / gauge.ohms_a_meter(thick) == pytest.approx(STEP)


def test_a_table_copied_by_hand_does_not_pass() -> None:
    """Two numbers apart the ohms are 1.59 times as many: 8 and 10 AWG there are 1.29 times, and both rows are off."""
    assert abs(BY_HAND[10] / BY_HAND[8] / STEP**2 - 1) > 0.1
    for number, printed in BY_HAND.items():
        assert abs(printed / (1000 * gauge.METERS_A_FOOT * gauge.ohms_a_meter(number)) - 1) > 0.03
