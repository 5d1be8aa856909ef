"""Walks of simulated people are the same whenever they have the same number, and go where hazards are."""

from __future__ import annotations

from yard.walks import walk


def test_a_walk_can_be_walked_again() -> None:
    """The same seed types the same lines, sees the same pages and raises the same alarms."""
    (once, person), (again, other) = walk(3, 3, "skip"), walk(3, 3, "skip")
    assert person.screen.typed == other.screen.typed
    assert (once.counts, once.alarms) == (again.counts, again.alarms)
    assert once.counts["pages"] > 20
