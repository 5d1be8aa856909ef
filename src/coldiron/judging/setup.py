"""What a consultation needs of one sort of machine, made once and shared by every step of the job."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Protocol

from coldiron.book.checks import Check
from coldiron.book.history import COMPLAINT, Ask
from coldiron.choice.doubt import Change, changes
from coldiron.choice.judge import Judge
from coldiron.circuits.machine import Machine
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.flickering import Flickering, unsteady
from coldiron.inference.kept import KeptTable
from coldiron.inference.measures import Solved
from coldiron.inference.table import BookTable
from coldiron.judging.history import chances
from coldiron.machine.complaining import KEY, START
from coldiron.ruling.grounding import Grounding, ground
from coldiron.store.cache import Cache


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
        self._unsteady: dict[float, Judge] = {}

    def history(self, asked: Ask) -> Mapping[str, tuple[float, ...]]:
        """Chance of each answer to a question of history under each fault of the machine."""
        if asked.id not in self._history:
            self._history[asked.id] = chances(asked, self.machine.faults, self.grounding.named)
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

    def judge_of(self, there: float) -> Judge:
        """The judge for a fault that a reading finds there with such a chance."""
        if there >= 1:
            return self.judge
        if there not in self._unsteady:
            book = self.machine.book
            still = [name for name in self.machine.checks if _finds_it_anyway(book.checks[name])]
            table = Flickering(self._rows, (COMPLAINT, *still), there)
            self._unsteady[there] = Judge(unsteady(self.table.model), table)
        return self._unsteady[there]


def _finds_it_anyway(check: Check) -> bool:
    """Whether eyes and hands find what is wrong today or not: not cranked, or one part moved until it shows."""
    return check.reads.quantity == "eye" and (check.state.get(KEY) != START or "." in check.id)
