"""Walks of simulated people are the same whenever they have the same number, and go where hazards are."""

from __future__ import annotations

import os

import pytest

from yard.walks import walk, walks

THOROUGH = bool(os.environ.get("COLDIRON_THOROUGH"))


def test_a_walk_can_be_walked_again() -> None:
    """The same seed types the same lines, sees the same pages and raises the same alarms."""
    (once, person), (again, other) = walk(3, 3, "skip"), walk(3, 3, "skip")
    assert person.screen.typed == other.screen.typed
    assert (once.counts, once.alarms) == (again.counts, again.alarms)
    assert once.counts["pages"] > 20


@pytest.mark.slow
def test_walks_raise_no_alarm() -> None:
    """A walk on each of some circuits, and some about what follows a skip, a repair, a park and the like."""
    every = walks(range(1000, 1006 if THOROUGH else 1002))
    every.add(walks(range(0, 120, 15 if THOROUGH else 60), after=True))
    assert every.counts["START pages"] > 20
    assert not every.alarms, every.table()
