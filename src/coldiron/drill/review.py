"""What is said of a drill on request and at its end: causes, the best next check, minutes, and what was passed over.

The score is 100 times the minutes that the planner needs for the same machine, as it stood, by those that were used,
hints included; at most 100, and 0 where the fault was not found. So 50 means: twice the minutes of the best order.
"""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.drill.advice import BestCheck, best
from coldiron.drill.play import Play
from coldiron.drill.pupils import Pupil, fixed_order, planner, played
from coldiron.drill.step import in_words, of_check
from coldiron.drill.world import World
from coldiron.job.shares import in_100
from coldiron.record import dataclass

LEADING = 4
"""Causes that are named."""

HINTS = (1.0, 2.0, 3.0, 5.0)
"""Minutes that each further hint costs: which half, what to measure, where, and the check itself."""

BY_WHAT = {
    "eye": "Look, do not measure.",
    "click": "Listen.",
    "turn": "Watch the engine.",
    "glow": "Watch lights.",
    "volts": "Measure volts.",
    "lamp": "Use the test light.",
    "ohms": "Measure ohms.",
    "amps": "Read amps.",
}
"""The second hint, by the quantity of the best check."""


@dataclass(frozen=True, slots=True)
class Score:
    """What a drill came to: minutes used, in the best order and in the fixed one (0 where not found), and the score."""

    minutes: float
    best: float
    fixed: float
    score: int


def score_of(play: Play) -> Score:
    """The score of a drill that is over."""
    least, fixed = (_minutes(play.world, pupil) for pupil in (planner, fixed_order))
    found = play.over == "found" and play.minutes > 0
    return Score(play.minutes, least, fixed, min(100, round(100 * least / play.minutes)) if found else 0)


def _minutes(world: World, pupil: Pupil) -> float:
    end = played(world, pupil)
    return end.minutes if end.over == "found" else 0.0


def causes_now(play: Play) -> tuple[tuple[str, float], ...]:
    """The likeliest parts by name, with their chances."""
    parts = play.world.machine.parts
    return tuple((parts[part].name, chance) for part, chance in list(play.causes.by_part().items())[:LEADING])


def best_now(play: Play) -> str:
    """The best next check and why, in a few words; or that it is time to fix something."""
    found = best(play.causes, play.costs, play.done)
    if found is None:
        return "No more checks are needed: fix what leads."
    check = play.world.book.checks[found.check]
    return (
        f"{in_words(play.world.book, of_check(check))}. It takes {found.minutes:.0f} min and splits what is left best "
        f"for its minutes. About {max(found.to_go, found.minutes):.0f} min of checks are left in the best order."
    )


def hint(play: Play, level: int) -> str:
    """A hint: the half, the quantity, the place, the check. A higher level is the last one."""
    found = best(play.causes, play.costs, play.done)
    if found is None:
        return "You know enough. Fix what is left."
    return _hint(play, found, min(level, len(HINTS) - 1))


def _hint(play: Play, found: BestCheck, level: int) -> str:
    book = play.world.book
    check = book.checks[found.check]
    if level == 0:
        return f"The next check is made {_half(play, found.check)}."
    if level == 1:
        return BY_WHAT[check.reads.quantity]
    if level == 2:
        area = book.areas[check.area].name if check.area in book.areas else "the machine as a whole"
        return f"The place: {area}."
    return f"The check: {in_words(book, of_check(check))}."


def _half(play: Play, name: str) -> str:
    """Where or how a check is made: by looking, at the battery, with START held or without."""
    machine = play.world.machine
    reads = machine.book.checks[name].reads
    at = machine.point(reads.a) if reads.a else None
    if at is None and not reads.part:
        return "without a meter"
    posts = {
        p for part, one in machine.parts.items() if machine.kind(part).acts == "battery" for p in one.joins.values()
    }
    acts = machine.kind(reads.part).acts if reads.part else ""
    if acts == "battery" or at in posts:
        return "at the battery"
    return "while START is held" if machine.book.checks[name].state.get("key") == "start" else "without START"


def account(play: Play) -> Iterator[tuple[str, str]]:
    """(label, text) of what a drill that is over came to."""
    faults = play.world.machine.faults
    yield "It was", "; it brought: ".join(faults[name].name for name in play.world.faults)
    score = score_of(play)
    fixed = f"{score.fixed:.0f} min" if score.fixed else "never found it"
    yield "Minutes", f"{score.minutes:.0f}, {play.hints:.0f} of them for hints. Fixing counts too, in all of them."
    yield "The order that is best on the whole", f"{score.best:.0f} min. The fixed order: {fixed}."
    found = "the minutes of that best order by yours" if play.over == "found" else "it was not found"
    yield "Score", f"{score.score} of 100: {found}"
    if play.in_vain:
        yield "Fixed in vain", ", ".join(faults[name].name for name in play.in_vain)
    unloaded = [in_words(play.world.book, shot.probe) for shot in play.shots if shot.trusted]
    if unloaded:
        yield "Full volts without load", "; ".join(dict.fromkeys(unloaded)) + ". A test light would not burn there."
    missed = [play.world.book.cautions[name].hazard for name in play.missed]
    if missed:
        yield "Cautions missed", " ".join(missed)
    for number, shot in enumerate(play.shots, 1):
        lead = next(iter(shot.after.by_part().items()))
        name = play.world.machine.parts[lead[0]].name
        yield (
            f"Step {number}",
            f"{in_words(play.world.book, shot.probe)}: {shot.words}. Then: {name} ({in_100(lead[1])}).",
        )
