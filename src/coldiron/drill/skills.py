"""Which skills a drill has shown or missed, and when each is due again.

When is told by the library `fsrs` where it is installed (the extra `practice`); else a skill is due after 1 day, and
after twice as many each time it was shown in a row: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from importlib import import_module
from typing import Any

from coldiron.circuits.machine import REFERENCE
from coldiron.drill.play import Play
from coldiron.map.sketch import sketch

SKILLS = {
    "prepares": "prepares a step that can hurt",
    "loads": "trusts no full volts without load",
    "measures": "fixes nothing in vain",
    "causes": "finds the cause before its victim",
    "batteries": "faults of batteries",
    "ground": "faults of the ground side",
    "feed": "faults of feed and control",
}
"""What is estimated, in words."""

DONE_WELL = 50
"""The score from which a drill shows that a sort of fault is found."""

LONGEST_RUN = 8
"""Times in a row that still double the days."""


def skills_of(play: Play, score: int) -> dict[str, bool]:
    """The skills that a drill which is over has shown (true) or missed; those it did not ask for are left out."""
    found = {"prepares": not play.missed and play.over != "hurt"}
    if play.shots:
        found["loads"] = not any(shot.trusted for shot in play.shots)
    if play.fixed:
        found["measures"] = not play.in_vain
    if len(play.world.faults) > 1 and play.fixed:
        mends = play.world.machine.mended_with
        hits = [one for one in play.fixed if _hits(play, one)]
        found["causes"] = bool(hits) and play.world.faults[0] in mends(hits[0])
    found[_sort(play)] = play.over == "found" and score >= DONE_WELL
    return found


def _hits(play: Play, fault: str) -> bool:
    return bool(set(play.world.machine.mended_with(fault)) & set(play.world.faults))


def _sort(play: Play) -> str:
    """The sort of fault that was hidden."""
    machine, part = play.world.machine, play.world.machine.faults[play.world.faults[0]].part
    if machine.kind(part).acts == "battery":
        return "batteries"
    behind = {one.part for lane in sketch(machine).lanes if lane.returns for one in lane.stretches}
    return "ground" if part in behind or REFERENCE in machine.parts[part].joins.values() else "feed"


def due(history: Sequence[tuple[date, bool]]) -> date:
    """The day a skill is due again, by the days it was shown or missed."""
    try:
        library: Any = import_module("fsrs")
    except ImportError:
        return _doubled(history)
    if not hasattr(library, "Scheduler"):  # an older edition, or a folder of that name where the program was started
        return _doubled(history)
    scheduler = library.Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = library.Card()
    for day, shown in history:
        rating = library.Rating.Good if shown else library.Rating.Again
        card, _ = scheduler.review_card(card, rating, datetime(day.year, day.month, day.day, tzinfo=UTC))
    found: date = card.due.date()
    return found


def _doubled(history: Sequence[tuple[date, bool]]) -> date:
    run = 0
    for _, shown in reversed(history):
        if not shown or run == LONGEST_RUN:
            break
        run += 1
    return history[-1][0] + timedelta(days=2**run if run else 1)
