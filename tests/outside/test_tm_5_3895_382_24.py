"""TM 5-3895-382-24 (roller): cranking volts by temperature, drops of machines with hours on them, starting parts.

Read as excerpts of stored copies: constructionrollers.tpub.com/TM-5-3895-382-24/css/TM-5-3895-382-24_337.htm to
_339.htm and _234.htm. These are the loosest limits in print: for engines of 2000 hours and more.
"""

from __future__ import annotations

import pytest

from support.shop import circuits, finding, is_good, solved

CRANKING = {"10 to 27 C": (8.0, 10.0), "-7 to 10 C": (7.0, 9.0), "-23 to -7 C": (6.0, 8.0)}
"""Volts of a 12 V battery while cranking, from and to; twice as much at 24 V (read)."""

LOOSEST = (
    ("ground_path_drop", 0.7, 1.4, "minus post to starter"),
    ("isolator_drop.isolator", 0.5, 1.0, "disconnect switch"),
)
"""Check, most volts at 12 V and at 24 V, and what the table speaks of (read)."""

PLUS_SIDE = (0.5, 1.0)  # plus post to starter, 12 V and 24 V (read)
PULL_IN = 18.0  # volts at which a 24 V solenoid has to pull in at the latest (read)


@pytest.mark.parametrize("volts", [12, 24])
def test_a_battery_below_the_warm_table_is_certainly_too_low(volts: int) -> None:
    """Below 8 V (16 V) the posts have collapsed; at the top of the table and above they are normal."""
    low, high = (figure * volts / 12 for figure in CRANKING["10 to 27 C"])
    assert finding("crank_volts", low - 0.05, volts) == "collapsed"
    assert finding("crank_volts", low + 0.05, volts) == "low"
    assert is_good("crank_volts", high, volts)


@pytest.mark.parametrize("circuit", circuits(12) + circuits(24))
def test_sound_machines_crank_above_the_warm_table(circuit: str) -> None:
    volts = 12 if circuit in circuits(12) else 24
    assert solved(circuit, "crank_volts") > CRANKING["10 to 27 C"][1] * volts / 12


def test_a_cold_battery_may_read_what_is_low_in_the_warm() -> None:
    """At -23 C 6 to 8 V is as it should be: the book's bands are for 20 C, and there this is collapsed."""
    assert finding("crank_volts", CRANKING["-23 to -7 C"][0] + 1, 12) == "collapsed"


@pytest.mark.parametrize(("check", "twelve", "twenty_four", "of"), LOOSEST)
def test_past_the_loosest_limit_the_book_is_certain(check: str, twelve: float, twenty_four: float, of: str) -> None:
    """Just over it is bad, just under it is flagged but not certain."""
    for volts, limit in ((12, twelve), (24, twenty_four)):
        assert finding(check, limit + 0.01, volts) == "bad", of
        assert finding(check, limit - 0.01, volts) == "marginal", of


def test_the_plus_side_is_flagged_before_its_limit_and_certain_past_it() -> None:
    for volts, limit in zip((12, 24), PLUS_SIDE, strict=True):
        assert finding("plus_path_drop", limit, volts) == "marginal"
        assert finding("plus_path_drop", 1.5 * limit, volts) == "bad"


def test_the_volts_a_24_volt_solenoid_needs_are_live_in_the_book() -> None:
    assert is_good("s_terminal_volts", PULL_IN, 24)
    assert not is_good("s_terminal_volts", PULL_IN - 0.1, 24)
    assert solved("isolator_24", "s_terminal_volts") > PULL_IN
