"""A job drawn from a seed: a machine, what broke it, how cold it is, what its owner tells and what people get wrong."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from zlib import crc32

from foreign.measuring import Bench
from foreign.people.trials import trials
from foreign.record import Does, Event, Fault, Machine
from foreign.world import World, broken, healthy

TWO_FAULTS, EVENTS, NOT_IN_BOOK = 0.15, 0.15, 0.05
"""Shares of jobs with a second fault, with an event, with a fault no book knows: from the trade by estimate."""

WRONG_COMPLAINT, WRONG_MACHINE = 0.10, 0.10
"""Shares of jobs whose complaint, or whose machine, is told wrongly: from the trade by estimate."""

TRIES = 30


@dataclass(frozen=True)
class Drawn:
    """One job: `kind` is single, two, event or unknown; `tells` what the owner says it does; `sound` it before that."""

    seed: int
    machine: Machine
    faults: tuple[tuple[Fault, float], ...]
    kind: str
    sound: World
    does: Does
    tells: Does
    story: tuple[str, ...]
    wrong_machine: bool

    @property
    def words(self) -> str:
        """What is wrong, in words."""
        return "; ".join(f"{fault.words} [{fault.part}, {severity:.2f}]" for fault, severity in self.faults)


def aside(machine: Machine) -> bool:
    """Whether a machine is kept aside: a third of them, by its name alone."""
    return crc32(machine.name.encode()) % 3 == 0


def draw(seed: int, machines: Sequence[Machine]) -> Drawn | None:
    """The job of a seed; nothing where the machine has no fault of the sort that was drawn."""
    chance = random.Random(f"job {seed}")  # noqa: S311 - no secret
    machine = machines[seed % len(machines)]
    kind = _kind(chance)
    for _ in range(TRIES):
        found = _faults(machine, kind, chance)
        if not found:
            kind = "single"
            continue
        air = chance.uniform(*machine.air_c)
        sized = tuple((fault, chance.random()) for fault in found)
        base = healthy(machine, air, chance.uniform(*machine.charge))
        does = Bench(broken(base, sized)).does()
        if Bench(base).does() != "normal":
            continue  # so cold that it turns slowly with nothing wrong
        later = any("flat_later" in fault.does for fault, _ in sized)
        if does == "normal" and not later:
            continue
        if kind == "two" and any(Bench(broken(base, [each])).does() == "normal" for each in sized):
            continue
        return _told(Drawn(seed, machine, sized, kind, base, does, does, (), wrong_machine=False), chance)
    return None


def _kind(chance: random.Random) -> str:
    x = chance.random()
    for kind, share in (("unknown", NOT_IN_BOOK), ("event", EVENTS), ("two", TWO_FAULTS)):
        if x < share:
            return kind
        x -= share
    return "single"


def _faults(machine: Machine, kind: str, chance: random.Random) -> tuple[Fault, ...]:
    """What is wrong with it, each with the victims it brings."""
    named = {fault.name: fault for fault in machine.faults}
    if kind == "event" and machine.events:
        event: Event = chance.choices(machine.events, [each.weight for each in machine.events])[0]
        return tuple(named[name] for name in event.faults)
    victims = {name for fault in machine.faults for name in fault.victims}
    pool = [fault for fault in machine.faults if fault.book == (kind != "unknown")]
    pool = [fault for fault in pool if fault.name not in victims or kind == "single"]
    if not pool or kind == "event":
        return ()
    first = chance.choices(pool, [fault.weight for fault in pool])[0]
    rest = [fault for fault in pool if fault.part != first.part and fault.name not in first.victims]
    if kind == "two" and rest:
        return first, chance.choices(rest, [fault.weight for fault in rest])[0]
    return (first,)


def _told(job: Drawn, chance: random.Random) -> Drawn:
    """What the owner tells: the complaint, wrong in some jobs, and words of a story."""
    tells: Does = job.does
    main = job.faults[0][0]
    if "flat_later" in main.does and chance.random() < 0.7:
        tells = "flat_later"
    elif main.shows_when and chance.random() < 0.6:
        tells = "normal"  # it comes and goes
    if chance.random() < WRONG_COMPLAINT:
        others: list[Does] = ["dead", "silent", "click", "clunk", "slow", "chatter", "part_dead"]
        tells = chance.choice([each for each in others if each != tells])
    words = [word for fault, _ in job.faults for word in fault.story]
    for event in job.machine.events:
        if job.kind == "event" and {fault.name for fault, _ in job.faults} == set(event.faults):
            words += event.story
    words += trials(job.machine, job.sound, list(job.faults), chance)
    story = tuple(dict.fromkeys(word for word in words if chance.random() < 0.8))
    return Drawn(
        job.seed, job.machine, job.faults, job.kind, job.sound, job.does, tells, story, chance.random() < WRONG_MACHINE
    )
