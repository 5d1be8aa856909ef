"""Machines with hidden faults and their owners, drawn by a seed: the same every time."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT, Ask
from coldiron.circuits.simulated import SimulatedMachine
from coldiron.drill.behaves import complaint_of
from coldiron.drill.chains import victims_of
from coldiron.drill.world import HAND, World
from coldiron.judging.composing import setup_of
from coldiron.judging.setup import Setup

CHAINED = 0.25
"""The share of machines whose fault brought another one: an estimate, no source."""

TRIES = 400
"""Faults drawn until one shows. Every circuit of a sound book has many that do."""


class NothingToFindError(ValueError):
    """A machine on which no fault shows: its book is too small to practice on."""


def world_of(book: Book, seed: int, circuit: str = "") -> World:
    """The machine of a seed: one of the circuits by how common they are, or the one that is named.

    Raises:
        NothingToFindError: no fault of it shows.
    """
    chance = random.Random(f"drill {seed} {circuit}")  # noqa: S311 - no secret
    if not circuit:
        common = {name: one.common for name, one in book.circuits.items() if one.common > 0}
        circuit = chance.choices(list(common), list(common.values()))[0]
    setup = setup_of(book, circuit)
    for _ in range(TRIES):
        faults = _drawn(setup, chance)
        told = complaint_of(SimulatedMachine(setup.machine, faults, seed, HAND))
        if told:
            return World(setup, seed, faults, told, dict(_story(setup, faults, chance)))
    raise NothingToFindError(circuit)


def world_with(book: Book, circuit: str, fault: str, seed: int) -> World:
    """A machine with a certain fault, told of as most would tell of it."""
    setup = setup_of(book, circuit)
    told = complaint_of(SimulatedMachine(setup.machine, (fault,), seed, HAND)) or _likeliest(setup, fault)
    chance = random.Random(f"drill {seed} {circuit} {fault}")  # noqa: S311 - no secret
    return World(setup, seed, (fault,), told, dict(_story(setup, (fault,), chance)))


def _likeliest(setup: Setup, fault: str) -> str:
    row = setup.table.chances(COMPLAINT, frozenset((fault,)))
    return setup.table.findings(COMPLAINT)[row.index(max(row))]


def _drawn(setup: Setup, chance: random.Random) -> tuple[str, ...]:
    """A fault by its odds; in a quarter of the machines one that has brought another, where it can."""
    odds = setup.machine.odds
    cause = chance.choices(list(odds), list(odds.values()))[0]
    if chance.random() >= CHAINED:
        return (cause,)
    brought = victims_of(setup)[cause]
    return (cause, chance.choices(list(brought), list(brought.values()))[0]) if brought else (cause,)


def _story(setup: Setup, faults: Sequence[str], chance: random.Random) -> Iterator[tuple[str, str]]:
    """What the owner knows: of each question the answer that is drawn under the cause."""
    for asked in setup.machine.book.questions.values():
        if asked.stage == "history":
            yield asked.id, _answer(setup, asked, faults[0], chance)


def _answer(setup: Setup, asked: Ask, cause: str, chance: random.Random) -> str:
    moving = [answer.id for answer in asked.answers if answer.shifts]
    plain = [answer.id for answer in asked.answers if not answer.shifts]
    row = setup.history(asked)[cause]
    left = chance.random()
    for name, share in zip(moving, row, strict=True):
        left -= share
        if left < 0:
            return name
    return chance.choice(plain or moving)
