"""Made-up machines of any size with a hidden fault: the instances of the benchmark and of the laws at full size."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

from coldiron.choice.offers import Offer
from coldiron.inference.evidence import Reading
from coldiron.inference.faults import FaultModel
from support.fault_tables import Cell, DetectionTable, seeded

WORKS = "works"
"""Whether the machine works, seen at no cost: finding 0 is that it does not."""


@dataclass
class Yard:
    """A machine of subsystems in series, its checks, and one or two faults hidden in it.

    Every subsystem has a check over all of it, probes after each part, and single checks; detection rates lie between
    .90 and .99, false alarms between .01 and .05.
    """

    seed: int
    faults: int = 150
    checks: int = 250
    pairs: float = 0.1

    def __post_init__(self) -> None:
        rng = self._rng = seeded(self.seed)
        names = [f"part_{n:03}" for n in range(self.faults)]
        weights = [(n + 1) ** -0.9 * exp(rng.gauss(0, 0.3)) for n in range(self.faults)]
        rng.shuffle(weights)
        size = max(3, round(self.faults / 12))
        systems = [names[k : k + size] for k in range(0, self.faults, size)]
        covers = []
        for system in systems:
            covers.append((system, 2.0, 0.4))
            covers += [(system[: k + 1], 3.0, 0.4) for k in range(len(system) - 1)]
        order = sorted(names, key=lambda _: rng.random())
        covers += [([name], 6.0, 0.5) for name in order]
        covers = covers[: self.checks]
        self.offers: list[Offer] = []
        detects, alarms = {}, {}
        for number, (cover, minutes, spread) in enumerate(covers):
            check = f"check_{number:03}"
            detects[check] = {name: rng.uniform(0.90, 0.99) for name in cover}
            alarms[check] = rng.uniform(0.01, 0.05)
            self.offers.append(Offer(check, minutes * exp(rng.gauss(0, spread))))
        detects[WORKS] = dict.fromkeys(names, 1.0)
        alarms[WORKS] = 0.001
        self.table = DetectionTable(detects, alarms)
        repairs = {name: 30 * exp(rng.gauss(0, 0.6)) for name in names}
        self.model = FaultModel(odds=dict(zip(names, weights, strict=True)), repair_minutes=repairs)
        self.truth = set(rng.choices(names, weights, k=2 if rng.random() < self.pairs else 1))

    def row(self, check: str) -> Cell:
        """What a check would show of the hidden faults."""
        return self.table.chances(check, frozenset(self.truth))

    def read(self, check: str) -> int:
        """A finding drawn by its chances."""
        return int(self._rng.random() >= (self.row(check)[0] or 0.0))

    def readings(self, count: int) -> tuple[Reading, ...]:
        """Findings of so many checks, drawn by their chances."""
        return tuple(Reading(offer.check, self.read(offer.check)) for offer in self._rng.sample(self.offers, count))

    def likeliest_readings(self) -> tuple[Reading, ...]:
        """All checks, each with the finding that the hidden faults make likeliest."""
        return tuple(Reading(offer.check, int((self.row(offer.check)[0] or 0.0) < 0.5)) for offer in self.offers)
