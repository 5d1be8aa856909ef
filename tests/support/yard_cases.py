"""Faults hidden in made-up machines, and a book of each machine that is right about it, or wrong in a stated way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from coldiron.choice.offers import Offer
from coldiron.inference.evidence import Table
from coldiron.inference.faults import FaultModel
from coldiron.record import replace
from support.fault_tables import Cell, DetectionTable
from support.fault_yard import Yard


@dataclass(frozen=True)
class Twist:
    """In what the book is wrong, or the machine unusual.

    Attributes:
        name: what it is called in the tables.
        odds: every odds of the book are off by a factor of up to this, up or down.
        minutes: the minutes of every check and repair of the book likewise.
        flips: share of the answers that are given the wrong way round, whatever the check.
        gaps: share of the cells (a check under one fault) that nobody knows; no set with such a fault is known either.
        faults: how many are hidden; 0: as many as the book expects, one more often than two or three.
        unlisted: the fault, a single one, is not in the book.
    """

    name: str
    odds: float = 1.0
    minutes: float = 1.0
    flips: float = 0.0
    gaps: float = 0.0
    faults: int = 0
    unlisted: bool = False


RIGHT = Twist("book right")

TWISTS = (
    RIGHT,
    Twist("odds off by 2", odds=2.0),
    Twist("odds off by 3", odds=3.0),
    Twist("minutes off by 2", minutes=2.0),
    Twist("3 % flipped", flips=0.03),
    Twist("6 % flipped", flips=0.06),
    Twist("10 % of cells unknown", gaps=0.1),
    Twist("40 % of cells unknown", gaps=0.4),
    Twist("70 % of cells unknown", gaps=0.7),
    Twist("two faults", faults=2),
    Twist("not in the book", unlisted=True),
)


@dataclass
class GappedTable:
    """A table of which some cells are not known."""

    whole: Table
    gaps: frozenset[tuple[str, str]]

    def chances(self, check: str, faults: frozenset[str]) -> Cell:
        row = self.whole.chances(check, faults)
        return (None,) * len(row) if any((check, name) in self.gaps for name in faults) else row


class Case:
    """One machine with hidden faults, and the book that the tool has of it.

    The same seed gives the same machine, and under every twist that leaves their number alone the same hidden faults.
    What a check shows in an epoch hangs on the machine and not on what was asked before, so that orders of checks are
    compared on the same answers.

    Attributes:
        truth: the hidden faults.
        one: one of them.
        model, table, offers: the book, as the tool has it.
        checked_alone: the check of each fault that has one of its own.
    """

    def __init__(self, seed: int, twist: Twist = RIGHT, faults: int = 150, checks: int = 250) -> None:
        self.seed, self.twist = seed, twist
        self.yard = Yard(seed, faults, checks)
        self._detection: DetectionTable = self.yard.table
        self.truth = self._hidden()
        self.one = self._draws("one").choice(sorted(self.truth))
        self.model = self._model()
        self.table = self._table()
        off = self._factors("checks", twist.minutes)
        self.offers = tuple(Offer(offer.check, offer.minutes * next(off)) for offer in self.yard.offers)
        self._minutes = {offer.check: offer.minutes for offer in self.yard.offers}
        covers = {offer.check: list(self._detection.detects[offer.check]) for offer in self.yard.offers}
        self.checked_alone = {cover[0]: check for check, cover in covers.items() if len(cover) == 1}

    def minutes(self, check: str) -> float:
        """What a check really takes."""
        return self._minutes[check]

    def repair_minutes(self, fault: str) -> float:
        """What a repair really takes."""
        return self.yard.model.minutes(fault)

    def read(self, check: str, left: frozenset[str], epoch: int) -> int:
        """What a check shows in an epoch while these faults are left: 0 that something is wrong, 1 that it is good."""
        draw = self._draws(f"{check} {epoch}")
        wrong = self._detection.chances(check, left)[0] or 0.0
        shown = int(draw.random() >= wrong)
        return 1 - shown if draw.random() < self.twist.flips else shown

    def _hidden(self) -> frozenset[str]:
        """Sets of one size are as likely as the product of their odds."""
        draw, model = self._draws("hidden"), self.yard.model
        (usual,) = draw.choices(range(1, len(model.sizes) + 1), model.sizes)
        size = 1 if self.twist.unlisted else self.twist.faults or usual
        names, weights = list(model.odds), list(model.odds.values())
        chosen = draw.choices(names, weights, k=size)
        while len(set(chosen)) < size:
            chosen = draw.choices(names, weights, k=size)
        return frozenset(chosen)

    def _model(self) -> FaultModel:
        known = [name for name in self.yard.model.odds if not (self.twist.unlisted and name in self.truth)]
        odds, repairs = self._factors("odds", self.twist.odds), self._factors("repairs", self.twist.minutes)
        return replace(
            self.yard.model,
            odds={name: self.yard.model.odds[name] * next(odds) for name in known},
            repair_minutes={name: self.yard.model.minutes(name) * next(repairs) for name in known},
        )

    def _table(self) -> Table:
        if not self.twist.gaps:
            return self._detection
        draw, names = self._draws("gaps"), list(self.yard.model.odds)
        cells = [(offer.check, name) for offer in self.yard.offers for name in names]
        return GappedTable(self._detection, frozenset(cell for cell in cells if draw.random() < self.twist.gaps))

    def _factors(self, what: str, most: float) -> Iterator[float]:
        draw = self._draws(what)
        while True:
            yield most ** draw.uniform(-1, 1)

    def _draws(self, what: str) -> Random:
        return Random(f"{self.seed} {what}")  # noqa: S311 - made-up machines, no secret
