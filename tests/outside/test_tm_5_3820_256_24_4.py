"""TM 5-3820-256-24-4 (12 V): volts at the starter, drops along plus side, ground side and control circuit.

Tests 1 to 4 with figures 7 and 8. Read in stored copies:
waterstorage.tpub.com/TM-5-3820-256-24-4/css/TM-5-3820-256-24-4_447.htm, _449, _450 and _451.htm (the same text in
TM 5-3805-254-14&P-2).
"""

from __future__ import annotations

import pytest

from support.shop import (
    begin,
    blamed,
    book,
    circuits_with,
    first,
    first_part,
    is_good,
    next_step,
    part_chance,
    solved,
    told,
    worked_out,
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


@pytest.mark.parametrize("circuit", circuits_with("starter_crank_volts", 12))
def test_a_sound_starter_of_the_book_gets_the_printed_volts(circuit: str) -> None:
    assert solved(circuit, "starter_crank_volts") >= AT_THE_STARTER


def test_a_starter_with_less_than_the_printed_volts_is_flagged() -> None:
    assert is_good("starter_crank_volts", AT_THE_STARTER)
    assert not is_good("starter_crank_volts", AT_THE_STARTER - 0.05)
    assert not is_good("crank_volts", AT_THE_STARTER - 0.05)


def test_a_joint_is_printed_with_no_drop_at_all_and_flagged_as_soon_as_a_meter_can_tell() -> None:
    """Each connection 0.0 V, figure 7 (read). The meter and sound metal spread by less than 0.06 V."""
    for check in ("plus_clamp_drop", "minus_clamp_drop"):
        assert is_good(check, 0.0)
        assert not is_good(check, 0.06)
        assert max(solved(circuit, check) for circuit in circuits_with("starter_crank_volts", 12)) < 0.05


def test_the_whole_ground_side_is_held_to_more_than_the_manual_and_says_so() -> None:
    """Starter frame to ground post 0.2 V, test 3 (read). A sound machine of the book loses more, at more current.

    So 0.25 V is a fault by this manual and none by the book; the check has to name the limit it does not keep, and from
    0.32 V on it is flagged as well.
    """
    assert max(solved(circuit, "ground_path_drop") for circuit in circuits_with("starter_crank_volts", 12)) > 0.2
    assert is_good("ground_path_drop", 0.25)
    assert not is_good("ground_path_drop", 0.33)
    source = book().checks["ground_path_drop"].source
    assert "0.2 V" in source
    assert "TM 5-3820-256-24-4" in source


MOVED_BACK = (
    ({"plus_clamp_drop": "0.9", "plus_path_drop": "1.1", "solenoid_drop": "0.02"}, "positive_joint"),
    ({"plus_clamp_drop": "0.0", "plus_path_drop": "1.1", "solenoid_drop": "0.02"}, "plus_cable"),
    ({"plus_clamp_drop": "0.0", "plus_path_drop": "0.2", "solenoid_drop": "0.9"}, "starter"),
)
"""Test 2: the lead is moved from the starter back to the battery; the fault lies between the place where the reading
falls and the one before it (rule read; the readings are ours)."""


@pytest.mark.parametrize(("drops", "part"), MOVED_BACK)
def test_moving_one_lead_back_finds_the_place(drops: dict[str, str], part: str) -> None:
    job = told(begin("start_relay", "slow_crank"), {"rest_volts": "12.6", "crank_volts": "11.0", **drops})
    assert first_part(job) == part
    for other in {"positive_joint", "plus_cable", "starter"} - {part}:
        assert part_chance(job, other) < 0.1
    if part == "starter":
        assert first(job) == "starter.contacts_burnt"


def test_one_switch_that_loses_volts_is_the_control_fault() -> None:
    """Test 4: 0.5 V and more is bad, and any one wire or switch above 0.1 V is it (rule read; readings ours)."""
    job = told(
        begin("direct_start", "silent"), {"rest_volts": "12.6", "start_feed_loss": "7.5", "key_start_drop": "7.1"}
    )
    assert first_part(job) == "key_start"
    assert part_chance(job, "starter") < 0.05


def test_the_starter_comes_off_only_after_every_drop_has_passed() -> None:
    """Tests 1 to 4 in their order: battery, plus side, ground side; only then the starter (read)."""
    job = told(begin("start_relay", "slow_crank"), {"rest_volts": "12.6", "crank_volts": "10.4", "bar_engine": "free"})
    assert job.verdict.status == "open"
    assert next_step(job) == "crank_amps"  # the book's own way in; the drops of the manual come before the verdict
    done = worked_out(job, "starter.drags")
    assert blamed(done) == {"starter"}
    assert {"plus_path_drop", "ground_path_drop"} <= done.findings.keys()
    assert {"plus_path_drop", "ground_path_drop"} <= set(done.findings)
