"""What a consultation needs of one sort of machine, made once and shared by every step of the job.

And which events at its places are weighed: those that something speaks for, so that other jobs pay nothing for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Protocol

from coldiron.book.checks import Check
from coldiron.book.history import COMPLAINT, Ask
from coldiron.choice.doubt import Change, changes
from coldiron.choice.judge import Judge
from coldiron.circuits.machine import Machine
from coldiron.inference.belief import Belief
from coldiron.inference.events import with_events
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.inference.flickering import Flickering, unsteady
from coldiron.inference.kept import KeptTable
from coldiron.inference.measures import Solved
from coldiron.inference.table import BookTable
from coldiron.judging.history import chances
from coldiron.machine.complaining import KEY, START
from coldiron.ruling.grounding import Grounding, ground
from coldiron.store.cache import Cache

NO_EVENTS: frozenset[str] = frozenset()

SPOKEN = 2.0
"""How many times likelier what was told has to make an event for it to be weighed: less is said of almost any."""

BOTH = 0.1
"""Chance of two hurt wires at one place from which what may have hurt both is weighed: one in ten, an estimate."""

MOST = 12
"""So many events are weighed at once, the likeliest: one story may fit several places."""


class Predicting(Solved, Protocol):
    """What the checks of a machine read under any set of faults, solved where it was not yet."""

    @property
    def checks(self) -> tuple[str, ...]:
        """The checks that are solved."""
        ...

    def values(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        """The reading of a check, for each severity that the faults may have."""
        ...

    def save(self) -> bool:
        """Keep what was solved for the next job on such a machine; whether it was kept."""
        ...


class Setup:
    """A composed machine with everything that is worked out from it alone.

    Attributes:
        machine: parts, faults and applicable checks of the circuit.
        predictor: what each check would read under a set of faults.
        table: chances of every finding, complaint included.
        judge: odds over sets of faults; keeps the cells it has asked for.
        grounding: the book's rules for this machine.
    """

    def __init__(self, machine: Machine, predictor: Predicting, cache: Cache | None = None) -> None:
        book, circuit = machine.book, machine.circuit.id
        self.machine = machine
        self.predictor = predictor
        self.table = BookTable(self.machine, self.predictor)
        checks = (COMPLAINT, *self.machine.checks)
        self._rows = KeptTable(self.table, checks, self.machine.faults, cache, (book.hash, circuit))
        self.judge = Judge(self.table.model, self._rows)
        self.grounding: Grounding = ground(self.machine)
        self._history: dict[str, Mapping[str, tuple[float, ...]]] = {}
        self._told: tuple[Judge, Evidence, str, tuple[Change, ...]] | None = None
        self._judges: dict[tuple[float, frozenset[str]], Judge] = {}

    def may_have(self, fault: str) -> bool:
        """Whether the machine can have a fault, or an event can have happened on it."""
        return fault in self.machine.faults or fault in self.machine.events

    def can_make(self, check: str) -> bool:
        """Whether a check, or a look at one of its routes, can be made on the machine."""
        return check in self.machine.checks or check in self.machine.looks.values()

    def history(self, asked: Ask) -> Mapping[str, tuple[float, ...]]:
        """Chance of each answer to a question of history under each fault of the machine."""
        if asked.id not in self._history:
            every = (*self.machine.faults, *self.machine.events)
            self._history[asked.id] = chances(asked, every, self.grounding.named)
        return self._history[asked.id]

    @cached_property
    def complained_of(self) -> frozenset[str]:
        """The checks that complaints are told by, on whatever machine."""
        return frozenset(check for complaint in self.machine.book.complaints.values() for check, _ in complaint.sees)

    @cached_property
    def turning(self) -> tuple[Check, ...]:
        """The plainest check that shows the engine cranking: the one the complaints are told by. At most one."""
        known = [self.machine.book.checks[name] for name in self.machine.checks if name in self.complained_of]
        return tuple(check for check in known if check.reads.quantity == "turn")[:1]

    @cached_property
    def running(self) -> tuple[Check, ...]:
        """What shows that it runs as well: all that complaints of an engine that cranks see amiss on this machine."""
        book = self.machine.book
        cranks = {(check.id, check.good) for check in self.turning}
        of_cranking = [complaint.sees for complaint in book.complaints.values() if cranks & set(complaint.sees)]
        amiss = {check for sees in of_cranking for check, finding in sees if finding != book.checks[check].good}
        return tuple(book.checks[name] for name in self.machine.checks if name in amiss)

    def prepare(self, complaint: str) -> None:
        """Work out what the first judgement on a complaint needs, while the machine is being composed anyway."""
        if complaint in self.machine.book.complaints and complaint not in self._rows.openings:
            number = list(self.machine.book.complaints).index(complaint)
            self.judge.belief(Evidence((Reading(COMPLAINT, number),)))
            self._rows.keep_opening(complaint)

    def told(self, judge: Judge, evidence: Evidence, fault: str) -> tuple[Change, ...]:
        """What each reading of the latest epoch did to the odds of a fault.

        The last result is kept, since every step after a repair asks for it again.
        """
        if self._told is None or self._told[0] is not judge or self._told[1:3] != (evidence, fault):
            self._told = judge, evidence, fault, changes(judge, evidence, fault, len(evidence.repairs))
        return self._told[3]

    def judge_of(self, there: float, awake: frozenset[str] = NO_EVENTS) -> Judge:
        """The judge for a fault that a reading finds there with such a chance, where these events may have happened."""
        if there >= 1 and not awake:
            return self.judge
        if (there, awake) not in self._judges:
            model = with_events(self.table.model, self.machine, awake) if awake else self.table.model
            self._judges[there, awake] = Judge(model, self._rows) if there >= 1 else self._flickering(model, there)
        return self._judges[there, awake]

    def _flickering(self, model: FaultModel, there: float) -> Judge:
        book, looks = self.machine.book, self.machine.looks.values()
        still = [name for name in (*self.machine.checks, *looks) if _finds_it_anyway(book.checks[name])]
        return Judge(unsteady(model), Flickering(self._rows, (COMPLAINT, *still), there))


def _finds_it_anyway(check: Check) -> bool:
    """Whether eyes and hands find what is wrong today or not: not cranked, or one part moved until it shows."""
    return check.reads.quantity == "eye" and (check.state.get(KEY) != START or "." in check.id)


def told_of(machine: Machine, shifts: Mapping[str, float]) -> frozenset[str]:
    """The events that the answers of the story speak for."""
    return _likeliest(machine, [name for name in machine.events if shifts.get(name, 1.0) >= SPOKEN], shifts)


def at_routes_of(machine: Machine, mended: Iterable[str], belief: Belief | None) -> frozenset[str]:
    """What may have happened where a wire was mended and it is not over, or where two wires seem to be hurt at once."""
    hurt = {name: one.fault.part for name, one in machine.events.items()}
    routes = {hurt[event] for event in hurt if not machine.events[event].hurts.keys().isdisjoint(mended)}
    for faults, chance in belief.sets if belief else ():
        if len(faults) > 1 and chance >= BOTH:
            routes |= _shared(machine, faults)
    return _likeliest(machine, [name for name, route in hurt.items() if route in routes], {})


def _shared(machine: Machine, faults: Iterable[str]) -> set[str]:
    """The routes at which two wires or more are hurt by a set."""
    parts = {machine.faults[name].part for name in faults if name in machine.faults}
    return {route for route, passing in machine.routes.items() if len(parts.intersection(passing)) > 1}


def _likeliest(machine: Machine, names: Iterable[str], shifts: Mapping[str, float]) -> frozenset[str]:
    def odds(name: str) -> tuple[float, str]:
        return -machine.events[name].odds * shifts.get(name, 1.0), name

    return frozenset(sorted(names, key=odds)[:MOST])
