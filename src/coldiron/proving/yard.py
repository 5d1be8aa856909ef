"""The machines of a book, solved: what each check of each could read, under any faults at any of their sizes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from itertools import combinations

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.circuits import Machine, Predictor, compose
from coldiron.circuits.bands import Scale, chances, scale
from coldiron.circuits.scatter import sized
from coldiron.circuits.stamps import levelled
from coldiron.inference.machine_model import model_of
from coldiron.store.cache import Cache

SIZES = (0.0, 0.1, 0.25, 0.4, 0.6, 0.75, 0.9, 1.0)
"""Where in its range a fault is looked at besides the three sizes that the odds are worked out with."""

POSSIBLE = 0.05
"""A machine shows a finding if it does so this often at some size of its faults, spread and meter counted in."""

Faults = frozenset[str]
Read = Callable[[str], float]
"""Gives the solved value of a check, of one machine with certain faults of certain sizes."""


class SolvedMachine:
    """One machine of the book with everything that can be read on it.

    Attributes:
        machine: the machine, composed.
        checks: ids of the checks that the circuit decides.
    """

    def __init__(self, machine: Machine, cache: Cache | None = None) -> None:
        self.machine = machine
        self.predictor = Predictor(machine, cache)
        self.checks = frozenset(self.predictor.checks)
        self._scales: dict[str, Scale] = {}
        self._spans: dict[tuple[str, Faults], tuple[float, float]] = {}

    @cached_property
    def chained(self) -> tuple[Faults, ...]:
        """The sound machine, every single fault, and every cause with its victim by the chains of the book."""
        pairs = {frozenset((link.cause, link.victim)) for link in model_of(self.machine).links}
        singles = [frozenset((fault,)) for fault in self.machine.faults]
        return (frozenset(), *singles, *sorted(pairs, key=sorted))

    def pairs(self, likely: Iterable[str] = ()) -> Iterator[Faults]:
        """Every pair of faults; first those with one of the `likely` ones."""
        first = sorted(set(likely) & self.machine.faults.keys())
        others = [fault for fault in self.machine.faults if fault not in first]
        yield from (frozenset((one, other)) for one in first for other in others)
        yield from map(frozenset, combinations(first, 2))
        yield from map(frozenset, combinations(others, 2))

    def coarse(self, faults: Faults) -> Iterator[Read]:
        """The machine with these faults at each of the sizes that the odds are worked out with."""
        yield from _levels(self.predictor, faults, next(iter(self.checks), ""))

    def fine(self, faults: Faults) -> Iterator[Read]:
        """The same at many more sizes, all faults of the set alike: both ends of their ranges and between."""
        if any(levelled(self.machine.faults[name].what.effects) for name in faults):
            for predictor in self._sized:
                yield from _levels(predictor, faults, next(iter(self.checks), ""))

    def span(self, check: str, faults: Faults) -> tuple[float, float]:
        """The least and the most a check reads with these faults, whatever their sizes; of other pairs at three."""
        if (check, faults) not in self._spans:
            reads = list(self.coarse(faults))
            if faults in self._near:
                reads += self.fine(faults)
            values = [read(check) for read in reads]
            self._spans[check, faults] = min(values), max(values)
        return self._spans[check, faults]

    def chance(self, check: str, finding: str, value: float) -> float:
        """How often a solved value is read as a finding: the spread of sound parts and the meter."""
        record = self.machine.book.checks[check]
        place = [one.id for one in record.findings].index(finding)
        return self.row(check, value)[place]

    def row(self, check: str, value: float) -> tuple[float, ...]:
        """The chance of each finding in the order of the book, then of none."""
        if check not in self._scales:
            record = self.machine.book.checks[check]
            self._scales[check] = scale(record, self.machine.volts, self.machine.batteries)
        return chances(self._scales[check], (value,))

    def usual(self, check: str, value: float) -> str:
        """The finding a solved value mostly is; empty if it falls in no band."""
        row = self.row(check, value)
        place = row.index(max(row))
        findings = self.machine.book.checks[check].findings
        return findings[place].id if place < len(findings) else ""

    @cached_property
    def _near(self) -> frozenset[Faults]:
        return frozenset(self.chained)

    @cached_property
    def _sized(self) -> tuple[Predictor, ...]:
        every = self.machine.faults
        return tuple(Predictor(sized(self.machine, dict.fromkeys(every, size))) for size in SIZES)


class Yard:
    """All machines of a book.

    Args:
        book: a book built without errors, which the audit has none against either.
        cache: folder for solved values; None: everything is solved anew. Only for books as their files have them:
            solved values are told apart by the files alone.
        circuits: the circuits to look at, the book's own or variants of them; without any, the book's own, and the
            variants that its cases are about.
    """

    def __init__(self, book: Book, cache: Cache | None = None, circuits: Iterable[str] = ()) -> None:
        self.book = book
        every = dict.fromkeys((*book.circuits, *(case.circuit for case in book.cases.values())))
        self.machines = tuple(SolvedMachine(compose(book, name), cache) for name in tuple(circuits) or every)

    @cached_property
    def by_circuit(self) -> Mapping[str, SolvedMachine]:
        """The machines by the id of their circuit."""
        return {solved.machine.circuit.id: solved for solved in self.machines}


def solved_by_circuit(check: Check) -> bool:
    """Whether the circuit decides what a check reads."""
    return check.reads.quantity != "eye"


def _levels(predictor: Predictor, faults: Faults, any_check: str) -> Iterator[Read]:
    """One reader for each level; all checks of a set have the same levels."""
    if not any_check:
        return
    for level in range(len(predictor.values(any_check, faults))):
        yield lambda check, level=level: predictor.values(check, faults)[level]  # type: ignore[misc]
