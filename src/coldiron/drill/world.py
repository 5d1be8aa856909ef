"""A machine with a hidden fault, or a cause and its victim, and an owner."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.book import Book
from coldiron.circuits.machine import Machine
from coldiron.circuits.simulated import Manner, SimulatedMachine
from coldiron.judging.setup import Setup
from coldiron.record import dataclass

HAND = Manner(wrong=0.0, always=True)
"""Parts a little off, a meter with its error, no slips, nothing that comes and goes: a first teacher does not lie."""


@dataclass(frozen=True, slots=True)
class World:
    """One machine in one yard, as it is.

    Attributes:
        setup: the circuit, composed, with its table of chances.
        seed: tells one such machine from another.
        faults: what is wrong, cause first.
        told: the complaint, as the owner tells it.
        story: what the owner answers, by question of history; the other questions have the plain answer.
    """

    setup: Setup
    seed: int
    faults: tuple[str, ...]
    told: str
    story: Mapping[str, str]

    @property
    def machine(self) -> Machine:
        """The machine as the book has it: usual parts."""
        return self.setup.machine

    @property
    def book(self) -> Book:
        """The shop's knowledge."""
        return self.setup.machine.book

    def real(self) -> SimulatedMachine:
        """The machine as it stands there, its faults in it."""
        return SimulatedMachine(self.machine, self.faults, self.seed, HAND)
