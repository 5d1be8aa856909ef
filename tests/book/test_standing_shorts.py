"""What is shorted and goes on being fed is found, and not taken for the battery that it pulls down."""

from __future__ import annotations

import pytest

from support import found

HIDDEN = [
    ("direct_start", "starter.stud_shorted"),
    ("direct_start", "plus_cable.chafed"),
    ("interlocks", "starter.stud_shorted"),
    ("jump_posts", "battery_cable.chafed"),
    ("jump_posts", "plus_cable.chafed"),
]
"""Machines on which a short alone pulls the battery down; worked as `bench_found` works them."""

BATTERIES = [("direct_start", "battery.empty"), ("interlocks", "battery.empty"), ("jump_posts", "battery.empty")]


@pytest.mark.parametrize(("circuit", "fault"), [*HIDDEN, *BATTERIES])
def test_a_standing_short_and_an_empty_battery_are_told_apart(circuit: str, fault: str) -> None:
    """Common practice: clamp and nose at rest, and the battery by itself with its lead off."""
    one = found.find(found.mechanic(circuit, [fault], seed=3))
    assert one.right, f"taken for {one.suspect} ({one.chance:.2f})"


@pytest.mark.parametrize("circuit", ["controller_start", "start_relay", "interlocks"])
def test_a_battery_at_half_a_volt_is_not_changed_and_the_short_left(circuit: str) -> None:
    """With a short and the battery it has emptied nothing lights: the clamp tells before the machine cranks again."""
    assert found.both_found(circuit, "starter.stud_shorted", "battery.empty", seed=5)
