"""A mechanic beside a machine with hidden faults, who answers whatever a consultation asks.

What a meter, a lamp, an ear shows comes from the solved circuit, with one severity for the whole job; what eyes see
comes from what the faults of the book are declared to show. He does what he is told, types the word of every caution,
and repairs what the verdict names, whether it was broken or not. A victim that he replaces while its cause is still
there fails again.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property

from coldiron import Consultation, Question, load_book
from coldiron.book.book import Book
from coldiron.book.checks import ODD, UNITS, Check
from coldiron.book.duties import Duty
from coldiron.book.history import COMPLAINT, Complaint
from coldiron.judging.composing import setup_of
from coldiron.judging.setup import Setup
from coldiron.machine.describing import HAS
from coldiron.readings.findings import finding_of

LIMIT = 120
"""Answers after which a job that has not ended never will."""

OPEN_LINE = 1e6
"""Ohms from which a meter shows an open line."""

FIGURES = {"volts": 2, "amps": 1, "ohms": 1}
"""Decimals of a meter on its usual range."""


@cache
def shipped() -> Book:
    """The shipped book, read once for all tests."""
    book, _ = load_book()
    return book


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

    def __post_init__(self) -> None:
        self.present = self.faults
        self.repaired: list[str] = []
        self._misread = dict(self.wrong)
        self._chance = random.Random(f"{self.seed} {self.circuit} {sorted(self.faults)}")  # noqa: S311 - no secret

    @cached_property
    def setup(self) -> Setup:
        """The machine as the program knows it."""
        return setup_of(self.book, self.circuit)

    def answer(self, asked: Question) -> str:
        """What he types."""
        if asked.kind == "caution":
            return asked.choices[0]
        if asked.kind == "repair":
            return "done"
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
        good = [band for band in duty.bands if band.volts in (0, self.setup.machine.volts)]
        return f"{(good[0].low + good[0].high) / 2:.3g}" if good else "works"

    def _ticks(self, duties: list[Duty]) -> str:
        """What he ticks on a page: what does as it must."""
        sound = [duty.id for duty in duties if not self._fails(duty)]
        return "all" if len(sound) == len(duties) else ",".join(sound) or "none"

    def _fails(self, duty: Duty) -> bool:
        return any(self.reads(self.book.checks[check]) == finding for check, finding in duty.fails_as)

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
            "volts": str(self.setup.machine.volts),
            "circuit": self.circuit,
            "kit": self.kit,
        }
        if asked.id.startswith(HAS):
            return self._described(asked)
        return known.get(asked.id, asked.choices[0])

    def _described(self, asked: Question) -> str:
        """What the machine is by a feature, or its circuit outright from one who knows it."""
        if not self.describes:
            return self.circuit
        return next(iter(self.book.circuits[self.circuit].has.get(asked.id.removeprefix(HAS), ())), "not sure")

    def _skipped(self) -> str:
        return "cannot reach" if self.skips and self._chance.random() < self.skips else ""

    def complains(self) -> str:
        """What the machine is most likely said to do."""
        table = self.setup.table
        row = dict(zip(table.findings(COMPLAINT), table.chances(COMPLAINT, self.faults), strict=True))
        best = max(row, key=lambda name: row[name])
        return "not sure" if best == ODD else best

    @property
    def is_dead(self) -> bool:
        """Whether the machine does what one of the complaints of the book is made of."""
        return any(self._does(complaint) for complaint in self.book.complaints.values())

    def _does(self, complaint: Complaint) -> bool:
        known = [(self.book.checks[c], f) for c, f in complaint.sees if c in self.setup.machine.checks]
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
        seen = self._declared(check)
        if seen is None:
            values = self.setup.predictor.values(check.id, self.present)
            return values[min(len(values) - 1, int(self.severity * len(values)))]
        machine = self.setup.machine
        finding = next(found for found in check.findings if found.id == seen)
        band = next(band for band in finding.bands if band.volts in (0, machine.volts))
        times = machine.batteries if band.per_battery else 1
        return times * (max(band.low, 0.0) + min(band.high, max(band.low, 0.0) + 1.0)) / 2

    def _found(self, check: Check, value: float) -> str:
        return finding_of(check, value, self.setup.machine.volts, self.setup.machine.batteries)

    def _declared(self, check: Check) -> str | None:
        """The finding that a fault is declared to show on a check that the circuit would else decide."""
        for name in sorted(self.present):
            fault = self.book.faults[name]
            for line in fault.what.shows:
                if line.check in (check.id, check.id.partition(".")[0]) and line.chance >= 0.5:
                    return line.finding
        return None

    def sees(self, check: Check) -> str:
        """What eyes, ears or a lamp show: the likeliest, or one drawn by its chance."""
        row = self.setup.table.shown(check, self.present)[: len(check.findings)]
        names = [finding.id for finding in check.findings]
        if self.seed is None or sum(row) <= 0:
            return names[max(range(len(row)), key=lambda place: row[place])]
        return self._chance.choices(names, weights=row)[0]

    def do(self, asked: Question) -> None:
        """What happens to the machine when a repair is done."""
        if asked.kind == "repair":
            self.mend(asked.id)

    def mend(self, fault: str) -> None:
        """One fault is repaired; its part breaks again at once if its cause is still there."""
        self.repaired.append(fault)
        links = self.setup.table.model.links
        again = any(link.victim == fault and link.cause in self.present and link.chance >= 0.5 for link in links)
        if not again:
            self.present -= set(self.setup.machine.mended_with(fault))


def typed(value: float, quantity: str) -> str:
    """A reading as a meter shows it and a mechanic types it: the smaller, the more decimals."""
    if abs(value) < 1e-4:
        value = 0.0
    if quantity == "volts" and 0 < abs(value) < 1:
        return f"{value:.3f}"
    if quantity == "ohms" and abs(value) < 10:
        return f"{value:.2f}"
    return f"{value:.{FIGURES[quantity]}f}"


@dataclass
class Job:
    """A whole job as it went: the consultation after every answer, and what was asked and answered."""

    mechanic: Mechanic
    said: list[tuple[Question, str]] = field(default_factory=list)
    after: list[Consultation] = field(default_factory=list)

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
    return work(Mechanic(shipped(), circuit, frozenset(faults)))


def work(mechanic: Mechanic, begin: Consultation | None = None, limit: int = LIMIT) -> Job:
    """Answer until nothing is asked any more, or `limit` answers are given."""
    now = begin or Consultation(mechanic.book)
    job = Job(mechanic, after=[now])
    while (asked := now.next) is not None and len(job.said) < limit:
        answer = mechanic.answer(asked)
        now = now.answer(asked.id, answer, sure=True)
        if answer == "done":
            mechanic.do(asked)
        job.said.append((asked, answer))
        job.after.append(now)
    return job
