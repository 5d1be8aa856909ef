"""Automatic pupils: what a drill takes in the best order, and in the fixed order that the trade teaches."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

from coldiron.drill.advice import SURE, best, rank
from coldiron.drill.play import Play, begin, fix, take
from coldiron.drill.step import of_check
from coldiron.drill.world import World
from coldiron.map.sketch import sketch

A_GLANCE = 1.0
"""Minutes of a look at the whole machine: the fixed order begins with these."""

MOST_STEPS = 80
"""Steps after which a pupil gives up."""

Pupil = Callable[[Play], str]
"""Names the next check of the book; nothing where it has none left."""


def planner(play: Play) -> str:
    """The check that the planner begins with."""
    found = best(play.causes, play.costs, play.done)
    return found.check if found else ""


def fixed_order(play: Play) -> str:
    """Look, then the battery, then along the feed point by point and back along the ground: common practice."""
    return next((name for name in _in_order(play.world) if name not in play.done), "")


def guesser(seed: int) -> Pupil:
    """Any check, by a seed."""

    def pupil(play: Play) -> str:
        left = [name for name in play.world.machine.checks if name not in play.done]
        chance = random.Random(f"{seed} {play.world.seed} {len(play.shots)}")  # noqa: S311 - no secret
        return chance.choice(left) if left else ""

    return pupil


def halver(play: Play) -> str:
    """The check that tells most, whatever it takes: as near to half of what is left as there is."""
    ranked = rank(play.causes, play.costs, play.done)
    return max(ranked, key=lambda one: (one[0], one[2].id))[2].id if ranked else ""


def _in_order(world: World) -> Iterator[str]:
    numbers = {spot.id: spot.number for spot in sketch(world.machine).spots.values()}
    book, machine = world.book, world.machine

    def place(name: str) -> tuple[int, int]:
        check = book.checks[name]
        at = machine.point(check.reads.a) if check.reads.a else None
        if at is None and check.reads.part:
            at = next(iter(machine.parts[check.reads.part].joins.values()))
        looks = check.reads.quantity == "eye"
        return 0 if looks and check.minutes <= A_GLANCE and "." not in name else 2 if looks else 1, numbers.get(
            at or "", len(numbers)
        )

    return iter(sorted(machine.checks, key=place))


def played(world: World, pupil: Pupil) -> Play:
    """A drill as a pupil plays it: it checks until one part is sure or nothing tells more, fixes, and goes on."""
    play = begin(world)
    tried: tuple[str, ...] = ()  # since something changed: a victim that failed again is fixed once more
    for _ in range(MOST_STEPS):
        if play.over:
            break
        chances = play.causes.by_part()
        sure = bool(chances) and next(iter(chances.values())) >= SURE
        check = "" if sure else pupil(play)
        if check:
            play = take(play, of_check(world.book.checks[check]))
            continue
        left = [name for name in play.causes.by_fault() if name not in tried]
        if not left:
            break
        before = play.present
        play = fix(play, left[0])
        tried = (*tried, left[0]) if play.present == before else ()
    return play
