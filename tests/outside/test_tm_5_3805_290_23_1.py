"""TM 5-3805-290-23-1, WP 0013 (24 V loader): hot cables and low volts are the starter, without drop tests.

Read in a stored copy: constructionloader.tpub.com/TM-5-3805-290-23-1/TM-5-3805-290-23-100733.html. Where the
battery stays within 2 V of the lowest cranking volts and the heavy cables are hot, the starter is bad and the drop
tests are skipped.
The lowest volts in the warm are 16 V on 24 V (TM 5-3895-382-24, read as an excerpt); the amps are ours: cables that a
starter heats carry what a stalled one draws.
"""

from __future__ import annotations

from support.shop import begin, first, first_part, next_step, part_chance, told, worked_out

LOW_AND_HOT = {"rest_volts": "25.2", "crank_volts": "17.0", "crank_amps": "750"}


def test_the_starter_is_suspected_and_the_engine_is_turned_first() -> None:
    """The manual goes to the starter at once; the book turns the engine by hand first (TM 5-3895-383-24 problem 29)."""
    job = told(begin("isolator_24", "slow_crank"), LOW_AND_HOT)
    assert first_part(job) == "starter"
    assert part_chance(job, "top_battery") + part_chance(job, "ground_battery") < 0.05
    assert next_step(job) == "bar_engine"


def test_with_a_free_engine_it_is_the_starter_without_drop_tests() -> None:
    job = told(begin("isolator_24", "slow_crank"), {**LOW_AND_HOT, "bar_engine": "free"})
    done = worked_out(job, "starter.drags")
    assert [fault for fault, _ in done.verdict.faults] == ["starter.drags"]
    assert not any(check.endswith("_drop") for check in done.findings)


def test_volts_that_collapse_at_a_usual_current_are_the_batteries() -> None:
    """Less than the table: battery before starter (WP 0013)."""
    readings = {"rest_volts": "25.2", "crank_volts": "14.0", "crank_amps": "350"}
    job = told(begin("isolator_24", "slow_crank"), readings)
    assert first_part(job) in {"top_battery", "ground_battery"}
    assert part_chance(job, "starter") < 0.05


def test_starter_volts_below_those_of_the_posts_are_lost_on_the_way() -> None:
    """Posts above the table and the starter below it: test each section between battery and starter (WP 0013)."""
    readings = {"rest_volts": "25.2", "crank_volts": "22.0", "starter_crank_volts": "15.5"}
    job = told(begin("isolator_24", "slow_crank"), readings)
    assert first(job) != "starter.drags"
    assert part_chance(job, "top_battery") + part_chance(job, "ground_battery") < 0.05
    assert next_step(job).partition(".")[0].endswith("_drop")
    assert worked_out(job, "plus_cable.poor").verdict.faults[0][0] == "plus_cable.poor"
