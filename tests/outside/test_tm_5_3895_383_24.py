"""TM 5-3895-383-24 (roller), p. 6-96 and problem 29: three places for the voltmeter, and the engine turned by hand.

Read in stored copies: constructionrollers.tpub.com/TM-5-3895-383-24/css/TM-5-3895-383-24_345.htm and _300.htm.
"""

from __future__ import annotations

import pytest

from support.shop import (
    begin,
    blamed,
    finding,
    first,
    first_part,
    next_step,
    part_chance,
    told,
    worked_out,
)

TOO_LOW = {12: 8.0, 24: 16.0}
"""Rest volts below which a battery is charged before anything else, problem 29 (read)."""

UPSTREAM = ("key_start", "neutral_switch", "start_wire", "starter_wire", "s_terminal")


@pytest.mark.parametrize("volts", [12, 24])
def test_too_low_to_judge_anything(volts: int) -> None:
    assert finding("rest_volts", TOO_LOW[volts] - 0.05, volts) == "dead"
    assert finding("rest_volts", TOO_LOW[volts], volts) != "dead"


def test_a_battery_below_eight_volts_is_charged_before_anything_else() -> None:
    """7.4 V on 12 V (problem 29): the battery is named, the repair is to charge it, the starter is left alone."""
    job = told(begin("start_relay", "weak_lamps"), {"rest_volts": "7.4"})
    assert first_part(job) == "battery"
    assert part_chance(job, "starter") < 0.05
    assert any("Charge" in text for text in job.verdict.advice)


def test_a_pair_below_sixteen_volts_is_read_one_by_one_and_charged() -> None:
    """15 V on 24 V (problem 29): no part but the batteries is suspect."""
    job = told(begin("isolator_24", "weak_lamps"), {"rest_volts": "15.0"})
    assert first_part(job) in {"top_battery", "ground_battery"}
    assert next_step(job) == "battery_a_rest_volts"
    assert any("Charge" in text for text in job.verdict.advice)


def test_battery_volts_at_the_motor_stud_and_no_turn_is_the_motor() -> None:
    """First place, a reading (p. 6-96)."""
    job = told(begin("direct_start", "one_clunk"), {"rest_volts": "12.6", "motor_volts": "12.4"})
    assert first_part(job) == "starter"
    assert max(part_chance(job, part) for part in UPSTREAM) < 0.05
    done = worked_out(job, "starter.brushes_worn")
    assert blamed(done) == {"starter"}  # worn brushes or a slipping drive: one and the same starter comes off


def test_a_clunk_and_nothing_at_the_motor_stud_are_the_solenoid_contacts() -> None:
    """First place, nothing (p. 6-96): contacts not closing."""
    job = told(begin("direct_start", "one_clunk"), {"rest_volts": "12.6", "motor_volts": "0.0"})
    assert first(job) == "starter.contacts_dead"
    assert blamed(worked_out(job, "starter.contacts_dead")) == {"starter"}


def test_a_reading_at_the_small_terminal_is_the_solenoid() -> None:
    """Second place, a reading (p. 6-96)."""
    readings = {"rest_volts": "12.6", "motor_volts": "0.0", "s_terminal_volts": "12.3"}
    job = told(begin("direct_start", "silent"), readings)
    assert first(job) == "starter.pull_in_open"
    assert max(part_chance(job, part) for part in UPSTREAM) < 0.1
    assert blamed(worked_out(job, "starter.pull_in_open")) == {"starter"}


def test_nothing_at_the_small_terminal_is_the_start_switch_or_its_wires() -> None:
    """Second place nothing, third place a reading (p. 6-96)."""
    readings = {"rest_volts": "12.6", "s_terminal_volts": "0.0", "key_feed_volts": "12.6"}
    job = told(begin("direct_start", "silent"), readings)
    assert part_chance(job, "starter") < 0.02
    assert part_chance(job, "main_link") < 0.02
    assert sum(part_chance(job, part) for part in UPSTREAM) > 0.9
    assert blamed(worked_out(job, "key_start.dead")) == {"key_start"}


def test_nothing_at_the_feed_of_the_start_switch_is_a_break_towards_the_battery() -> None:
    """Third place, nothing (p. 6-96): look at circuit breaker and wiring."""
    readings = {"rest_volts": "12.6", "s_terminal_volts": "0.0", "key_feed_volts": "0.0"}
    job = told(begin("direct_start", "no_power"), readings)
    assert first_part(job) == "main_link"
    assert part_chance(job, "key_start") < 0.02
    assert "main_link" in next_step(job)
    assert "main_link" in blamed(worked_out(job, "main_link.blown"))


def test_low_volts_at_the_solenoid_with_a_good_battery_are_cable_or_connection() -> None:
    """Problem 29: 3 V at the solenoid in START."""
    job = told(begin("start_relay", "relay_click"), {"rest_volts": "12.6", "s_terminal_volts": "3.0"})
    assert part_chance(job, "starter") < 0.05
    assert part_chance(job, "battery") < 0.05


@pytest.mark.parametrize("readings", [{"starter_noise": "thud"}, {"crank_amps": "650"}])
def test_the_engine_is_turned_by_hand_before_the_starter_is_blamed(readings: dict[str, str]) -> None:
    """Problem 29: the solenoid works and nothing turns, so turn the crankshaft first."""
    job = told(begin("start_relay", "one_clunk"), {"rest_volts": "12.6", **readings})
    assert next_step(job) == "bar_engine"
    locked = told(job, {"bar_engine": "locked"})
    assert [fault for fault, _ in locked.verdict.faults] == ["starter.engine_locked"]
    free = told(job, {"bar_engine": "free"})
    assert first(free) == "starter.seized"
