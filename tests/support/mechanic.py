"""A mechanic beside a machine with hidden faults, who answers whatever a consultation asks.

He shares no code with the program. He uses it as anybody does who has typed `from coldiron import ...`, reads the
records of the book himself (`own_machine.py`), and has the circuit solved another way (`own_meter.py`), with one
severity for the whole job. What eyes see comes from what the faults of the book are declared to show. He does what he
is told, types the word of every caution, and repairs what the verdict names, whether it was broken or not. A victim
that he replaces while its cause is still there fails again.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property

from coldiron import Consultation, Question, load_book
from coldiron.book.book import Book
from coldiron.book.checks import UNITS, Check
from coldiron.book.duties import Duty
from coldiron.book.history import COMPLAINT, Complaint
from coldiron.book.variants import circuit_named
from support import own_eyes
from support.own_machine import OwnMachine
from support.own_meter import OwnMeter

LIMIT = 120
"""Answers after which a job that has not ended never will."""

HAS = "has."
"""Before the name of a feature in what is asked of the machine."""

FITTED = "fitted"
"""The question for what a machine has beside its circuit."""

OPEN_LINE = 1e6
"""Ohms from which a meter shows an open line."""

FIGURES = {"volts": 2, "amps": 1, "ohms": 1}
"""Decimals of a meter on its usual range."""


@cache
def shipped() -> Book:
    """The shipped book, read once for all tests."""
    book, _ = load_book()
    return book


_machines: dict[tuple[str, str], OwnMachine] = {}
_meters: dict[tuple[str, str, int], OwnMeter] = {}


def own_machine(book: Book, circuit: str) -> OwnMachine:
    """A circuit of a book, put together once for all tests."""
    return _machines.setdefault((book.hash, circuit), OwnMachine(book, circuit))


def own_meter(book: Book, circuit: str, level: int) -> OwnMeter:
    """A meter for it, which keeps what it has solved."""
    return _meters.setdefault((book.hash, circuit, level), OwnMeter(own_machine(book, circuit), level))


def past_cautions(now: Consultation) -> Consultation:
    """The job at its next step, every caution before it acknowledged."""
    while now.next is not None and now.next.kind == "caution":
        now = now.answer(now.next.id, now.next.choices[0])
    return now


@dataclass
class Mechanic:
    """One mechanic and one machine.

    Args:
        book: the book in use; the machine is one of its circuits.
        circuit: which.
        faults: the hidden faults.
        seed: what is seen by eye where the book gives chances; None: always the likeliest.
        severity: from 0 (slight) to 1: where in the range of every fault the machine stands.
        complaint: what is told of it; empty: what the machine most likely does.
        wrong: readings that come out wrong the first time they are taken, by check.
        skips: the share of checks and questions that are skipped.
        story: answers to questions of history; the others are not known.
        kit: what is at hand.
        describes: answers what is asked of the machine by its circuit's features, instead of naming the circuit.
        sort: what he says that the machine is.
    """

    book: Book
    circuit: str
    faults: frozenset[str]
    seed: int | None = None
    severity: float = 0.5
    complaint: str = ""
    wrong: Mapping[str, str] = field(default_factory=dict)
    skips: float = 0.0
    story: Mapping[str, str] = field(default_factory=dict)
    kit: str = "all"
    describes: bool = False
    sort: str = "other"

    def __post_init__(self) -> None:
        self.present = self.faults
        self.repaired: list[str] = []
        self._misread = dict(self.wrong)
        self._chance = random.Random(f"{self.seed} {self.circuit} {sorted(self.faults)}")  # noqa: S311 - no secret

    @cached_property
    def machine(self) -> OwnMachine:
        """The machine as he reads it in the book."""
        return own_machine(self.book, self.circuit)

    @property
    def _meter(self) -> OwnMeter:
        return own_meter(self.book, self.circuit, min(2, int(self.severity * 3)))

    def answer(self, asked: Question) -> str:
        """What he types."""
        if asked.kind == "caution":
            return asked.choices[0]
        if asked.kind == "repair":
            return "done"
        if self.sort != "other" and asked.id in self.book.checks and asked.id not in self.machine.checks:
            return "not fitted"
        if asked.id in self.book.checks:
            return self._skipped() or self._misread.pop(asked.id, "") or self.reads(self.book.checks[asked.id])
        if asked.id in self.book.questions:
            return self._told(asked)
        if asked.id.startswith("show."):
            return self._shows(self.book.duties[asked.id.removeprefix("show.")])
        if asked.id.startswith("tick."):
            return self._ticks([self.book.duties[name] for name in asked.choices if name in self.book.duties])
        return self._opening(asked)

    def _shows(self, duty: Duty) -> str:
        """A duty of the machine: sound, as far as the faults in it let it be."""
        if self._fails(duty):
            return "fails"
        good = [band for band in duty.bands if band.volts in (0, self.machine.volts)]
        return f"{(good[0].low + good[0].high) / 2:.3g}" if good else "works"

    def _ticks(self, duties: list[Duty]) -> str:
        """What he ticks on a page: what does as it must."""
        sound = [duty.id for duty in duties if not self._fails(duty)]
        return "all" if len(sound) == len(duties) else ",".join(sound) or "none"

    def _fails(self, duty: Duty) -> bool:
        found = [(self.book.checks[check], finding) for check, finding in duty.fails_as if check in self.machine.checks]
        return any(self.reads(check) == finding for check, finding in found)

    def _told(self, asked: Question) -> str:
        if self.book.questions[asked.id].stage == "safety":
            return self.story.get(asked.id, "none")
        known = self.book.questions[asked.id]
        # What stands before a dangerous step he has looked at; unless the job says otherwise there is nothing of it.
        plain = known.answers[-1].id if known.before or known.stage == "before" else "not sure"
        if asked.id == "frost" and any(fault.endswith(".frozen") for fault in self.present):
            plain = "frost"
        return self._skipped() or self.story.get(asked.id, plain)

    def _opening(self, asked: Question) -> str:
        known = {
            COMPLAINT: self.complaint or self.complains(),
            "usual": self.sort,
            "volts": str(self.machine.volts),
            "circuit": self.circuit,
            "kit": self.kit,
        }
        if asked.id.startswith(HAS):
            return self._described(asked)
        if asked.id == FITTED:
            return ",".join(option for option in asked.choices if f"+{option}" in self.circuit) or "none"
        return known.get(asked.id, asked.choices[0])

    def _described(self, asked: Question) -> str:
        """What the machine is by a feature, or its circuit outright from one who knows it; a variant has no name."""
        if not self.describes and "+" not in self.circuit:
            return self.circuit
        found = circuit_named(self.book, self.circuit)
        return next(iter(found.has.get(asked.id.removeprefix(HAS), ())), "not sure") if found else "not sure"

    def _skipped(self) -> str:
        return "cannot reach" if self.skips and self._chance.random() < self.skips else ""

    def complains(self) -> str:
        """What the machine is most likely said to do."""
        return next((one.id for one in self.book.complaints.values() if self._does(one)), "not sure")

    @property
    def is_dead(self) -> bool:
        """Whether the machine does what one of the complaints of the book is made of."""
        return any(self._does(complaint) for complaint in self.book.complaints.values())

    def _does(self, complaint: Complaint) -> bool:
        known = [(self.book.checks[c], f) for c, f in complaint.sees if c in self.machine.checks]
        amiss = any(finding != check.good for check, finding in known)
        return amiss and all(self.reads(check) == finding for check, finding in known)

    def reads(self, check: Check) -> str:
        """What a check shows on the machine as it is now, as it would be typed."""
        if check.reads.quantity not in UNITS:
            return self.sees(check)
        value = self.value(check)
        if check.reads.quantity == "ohms" and value > OPEN_LINE:
            return "OL"
        said = typed(value, check.reads.quantity)
        shown = self._found(check, float(said))
        return said if shown == self._found(check, value) else f"{value:.6f}"

    def value(self, check: Check) -> float:
        """What a meter shows: solved, or where a fault is declared to show something, a value in its band."""
        seen = own_eyes.declared(self.machine, check, self.present)
        if seen is None:
            return self._meter.value(check.reads, check.state, self.present)
        machine = self.machine
        finding = next(found for found in check.findings if found.id == seen)
        band = next(band for band in finding.bands if band.volts in (0, machine.volts))
        times = machine.batteries if band.per_battery else 1
        return times * (max(band.low, 0.0) + min(band.high, max(band.low, 0.0) + 1.0)) / 2

    def _found(self, check: Check, value: float) -> str:
        return self.machine.finding(check, value)

    def sees(self, check: Check) -> str:
        """What eyes, ears or a lamp show: the likeliest, or one drawn by its chance."""
        row = own_eyes.chances(self.machine, check, self.present, self._solved(check))
        names = [finding.id for finding in check.findings]
        weights = [row.get(name, 0.0) for name in names]
        if self.seed is None or sum(weights) <= 0:
            return max(names, key=lambda name: row.get(name, 0.0))
        return self._chance.choices(names, weights=weights)[0]

    def _solved(self, check: Check) -> str:
        """What lamp, ear or hand gets from the circuit; what shows there by itself is not solved."""
        if check.reads.quantity == "eye":
            return check.good
        silent = frozenset(name for name in self.present if not self.machine.lines(check, name))
        return self.machine.nearest(check, self._meter.value(check.reads, check.state, silent))

    def do(self, asked: Question) -> None:
        """What happens to the machine when a repair is done."""
        if asked.kind == "repair":
            self.mend(asked.id)

    def mend(self, fault: str) -> None:
        """One fault is repaired; its part breaks again at once if its cause is still there."""
        self.repaired.append(fault)
        links = self.machine.links()
        if not any(victim == fault and cause in self.present and chance >= 0.5 for cause, victim, chance in links):
            self.present -= self.machine.mended_with(fault)


def typed(value: float, quantity: str) -> str:
    """A reading as a meter shows it and a mechanic types it: the smaller, the more decimals."""
    if abs(value) < 1e-4:
        value = 0.0
    if quantity == "volts" and 0 < abs(value) < 1:
        return f"{value:.3f}"
    if quantity == "ohms" and abs(value) < 10:
        return f"{value:.2f}"
    return f"{value:.{FIGURES[quantity]}f}"


class Job:
    """A whole job, worked when it is first looked at: answers until nothing is asked any more, or `limit` are given."""

    def __init__(self, mechanic: Mechanic, begin: Consultation | None = None, limit: int = LIMIT) -> None:
        self._mechanic, self._begin, self._limit = mechanic, begin, limit

    @cached_property
    def _course(self) -> tuple[list[tuple[Question, str]], list[Consultation]]:
        now = self._begin or Consultation(self._mechanic.book)
        said: list[tuple[Question, str]] = []
        after = [now]
        while (asked := now.next) is not None and len(said) < self._limit:
            answer = self._mechanic.answer(asked)
            now = now.answer(asked.id, answer, sure=True)
            if answer == "done":
                self._mechanic.do(asked)
            said.append((asked, answer))
            after.append(now)
        return said, after

    @property
    def said(self) -> list[tuple[Question, str]]:
        """What was asked and answered."""
        return self._course[0]

    @property
    def after(self) -> list[Consultation]:
        """The consultation at its beginning and after every answer."""
        return self._course[1]

    @property
    def mechanic(self) -> Mechanic:
        """He who worked it, as he stands at its end."""
        assert self._course
        return self._mechanic

    @property
    def end(self) -> Consultation:
        """The consultation at the end."""
        return self.after[-1]

    @property
    def status(self) -> str:
        """How it ended."""
        return self.end.verdict.status


@cache
def worked(circuit: str, *faults: str) -> Job:
    """A whole job on the shipped book with these hidden faults; worked once for all tests that look at it."""
    return Job(Mechanic(shipped(), circuit, frozenset(faults)))


def work(mechanic: Mechanic, begin: Consultation | None = None, limit: int = LIMIT) -> Job:
    """A job that has been worked to its end."""
    job = Job(mechanic, begin, limit)
    assert job.after
    return job
