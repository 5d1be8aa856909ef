"""What checks promise and what they settle on machines the book did not make, by tenths of what was promised."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from statistics import mean

from coldiron import Consultation, load_book
from foreign.people.drawing import draw
from foreign.people.person import Person, take
from foreign.people.results import machines
from support.promised import doubt

LONGEST = 160
"""Answers after which a job is left."""

STILL = 0.02
"""A reading that moves the leading fault by no more than this chance left the story where it was."""

TOLD_NOTHING = ("cannot reach", "not sure", "not fitted", "skip")


@dataclass
class Kept:
    """What one job promised and kept: pairs of shares, and the longest row of readings that moved nothing."""

    pairs: list[tuple[float, float]] = field(default_factory=list)
    checks: int = 0
    idle: int = 0


def kept(seed: int, group: str = "tuned") -> Kept | None:
    """The job of a seed, played to its end; None where its faults do nothing."""
    job = draw(seed, machines(group))
    if job is None:
        return None
    now, person, found, row = Consultation(load_book()[0]), Person(job), Kept(), 0
    for _ in range(LONGEST):
        asked = now.next
        if asked is None:
            break
        before = now.judged
        then, said = take(now, person)
        if asked.kind == "repair":
            row = 0
        if asked.kind == "check" and asked.id in now.book.checks:
            found.checks += 1
            if before is not None and then.judged is not None and said not in TOLD_NOTHING:
                choice = before.choice
                if choice is not None and choice.check == asked.id and (open_now := doubt(before)) > 0:
                    found.pairs.append((before.settled(choice.bits), 1 - doubt(then.judged) / open_now))
                lead, chance = before.belief.suspects[0]
                row = row + 1 if abs(then.judged.belief.chance(lead) - chance) <= STILL else 0
                found.idle = max(found.idle, row)
        now = then
    return found


def tenths(pairs: list[tuple[float, float]]) -> Iterator[tuple[float, float, int]]:
    """Of ten groups as large, by what was promised: the means promised and settled, and how many they are."""
    ordered = sorted(pairs)
    for place in range(10):
        group = ordered[len(ordered) * place // 10 : len(ordered) * (place + 1) // 10]
        if group:
            yield mean(one for one, _ in group), mean(one for _, one in group), len(group)
