"""TM 9-6115-645-24, table 2-6 (24 V generator set, panel without power): the master switch parts the search.

Read as copied at steelsoldiers.com/threads/806a-panel-has-no-power-won%E2%80%99t-start.209867. The set of the table has
24 V; the machine of the book with a switch in the plus side has 12 V, and the table's steps speak of volts or none.
"""

from __future__ import annotations

from support.shop import begin, blamed, first, first_part, next_step, part_chance, told, worked_out

BEFORE = ("isolator_cable", "positive_joint", "battery")
BEHIND = ("main_link", "main_link_nuts", "cab_feed", "key_fuse", "key_plug")


def test_volts_in_and_none_out_is_the_switch() -> None:
    readings = {"rest_volts": "12.6", "isolator_in_lamp": "bright", "isolator_out_lamp": "dark"}
    job = told(begin("interlocks", "no_power"), readings)
    assert first_part(job) == "isolator"
    assert part_chance(job, "isolator") > 0.8
    assert blamed(worked_out(told(job, {"isolator_look.isolator": "on"}), "isolator.dead")) == {"isolator"}


def test_volts_out_send_the_search_downstream() -> None:
    readings = {"rest_volts": "12.6", "clock_lamp": "dark", "isolator_in_lamp": "bright", "isolator_out_lamp": "bright"}
    job = told(begin("interlocks", "no_power"), readings)
    assert part_chance(job, "isolator") < 0.02
    assert max(part_chance(job, part) for part in BEFORE) < 0.02
    assert first_part(job) in BEHIND
    assert any(part in next_step(job) for part in (*BEHIND, "run_fuse"))
    assert blamed(worked_out(job, "cab_feed.broken")) == {"cab_feed"}


def test_no_volts_in_send_the_search_upstream() -> None:
    job = told(begin("interlocks", "no_power"), {"rest_volts": "12.6", "isolator_in_lamp": "dark"})
    assert first_part(job) in BEFORE
    assert max(part_chance(job, part) for part in BEHIND) < 0.05
    assert blamed(worked_out(job, "isolator_cable.broken")) == {"isolator_cable"}


def test_posts_and_charge_come_before_the_switch() -> None:
    """The table looks at switch position, posts, cables and charge before it measures at the master switch."""
    job = told(begin("interlocks", "no_power"), {"isolator_look.isolator": "found_off"})
    assert first(job) == "isolator.left_off"
