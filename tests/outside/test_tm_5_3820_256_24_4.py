"""TM 5-3820-256-24-4 (12 V): volts at the starter, drops along plus side, ground side and control circuit.

Tests 1 to 4 with figures 7 and 8. Read in stored copies:
waterstorage.tpub.com/TM-5-3820-256-24-4/css/TM-5-3820-256-24-4_447.htm, _449, _450 and _451.htm (the same text in
TM 5-3805-254-14&P-2).
"""

from __future__ import annotations

import pytest

from support.shop import (
    circuits,
    circuits_with,
    is_good,
    solved,
)

AT_THE_STARTER = 9.6  # test 1: volts at the starter while cranking, at least (read)

LIMITS = (
    ("plus_path_drop", 0.5, "the worked sum of cables and switches from post to starter, figure 7 (read)"),
    ("minus_cable_drop", 0.2, "a cable of 3 to 6 ft, figure 7 (read)"),
    ("strap_drop", 0.2, "a cable of 3 to 6 ft, figure 7 (read)"),
    ("isolator_drop.isolator", 0.1, "a mechanical switch, figure 7 (read)"),
    ("solenoid_drop", 0.2, "a solenoid switch, figure 7 (read)"),
    ("relay_contact_drop", 0.3, "a magnetic switch, figure 7 (read)"),
    ("frame_drop", 0.2, "the ground side, test 3 (read)"),
    ("start_feed_loss", 0.5, "the control circuit, test 4 and figure 8 (read)"),
    ("start_wire_loss", 0.5, "the control circuit, test 4 and figure 8 (read)"),
)
"""Check, largest drop in print at 12 V, and what the print speaks of."""


@pytest.mark.parametrize(("check", "limit", "of"), LIMITS)
def test_what_is_over_the_printed_limit_is_flagged(check: str, limit: float, of: str) -> None:
    """A tenth over the limit is never the finding of a sound machine."""
    assert not is_good(check, 1.1 * limit), of


@pytest.mark.parametrize(("check", "limit", "of"), LIMITS)
def test_nothing_lost_is_good(check: str, limit: float, of: str) -> None:
    """A quarter of the limit passes."""
    assert is_good(check, limit / 4), of


@pytest.mark.parametrize(("check", "limit", "of"), LIMITS)
def test_sound_machines_of_the_book_pass_the_printed_limits(check: str, limit: float, of: str) -> None:
    machines = circuits_with(check, 12)
    assert machines
    for circuit in machines:
        assert solved(circuit, check) <= limit, (circuit, of)


@pytest.mark.parametrize("circuit", circuits(12))
def test_a_sound_starter_of_the_book_gets_the_printed_volts(circuit: str) -> None:
    assert solved(circuit, "starter_crank_volts") >= AT_THE_STARTER


def test_a_starter_with_less_than_the_printed_volts_is_flagged() -> None:
    assert is_good("starter_crank_volts", AT_THE_STARTER)
    assert not is_good("starter_crank_volts", AT_THE_STARTER - 0.05)
    assert not is_good("crank_volts", AT_THE_STARTER - 0.05)
