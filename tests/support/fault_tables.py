"""Tables of findings and small books of faults made up for tests, in the two forms that the diagnosis tests need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import combinations
from random import Random

from coldiron.inference.descent import Link
from coldiron.inference.faults import FaultModel

Cell = tuple[float | None, ...]


@dataclass
class CellTable:
    """Every cell written out: chances by check and set of faults."""

    cells: Mapping[str, Mapping[frozenset[str], Cell]]

    def chances(self, check: str, faults: frozenset[str]) -> Cell:
        return self.cells[check][faults]


@dataclass
class DetectionTable:
    """Yes-or-no checks by detection rates: finding 0 is a complaint, 1 is good; any shown fault may bring it about."""

    detects: Mapping[str, Mapping[str, float]]
    false_alarm: Mapping[str, float] = field(default_factory=dict)

    def chances(self, check: str, faults: frozenset[str]) -> Cell:
        good = 1 - self.false_alarm.get(check, 0.03)
        for fault, rate in self.detects[check].items():
            if fault in faults:
                good *= 1 - rate
        return (1 - good, good)


def seeded(seed: int) -> Random:
    """Draws that are the same for the same seed."""
    return Random(seed)  # noqa: S311 - made-up machines, no secret


def subsets(names: Iterable[str], largest: int | None = None) -> list[frozenset[str]]:
    """All subsets of these names, the empty one first."""
    known = sorted(names)
    top = len(known) if largest is None else largest
    return [frozenset(chosen) for size in range(top + 1) for chosen in combinations(known, size)]


def random_cells(rng: Random, names: Iterable[str], checks: int, gaps: float = 0.0) -> CellTable:
    """Checks of two to four findings whose cells are drawn for every set by itself, so that faults mask each other."""
    sets = subsets(names)
    cells: dict[str, dict[frozenset[str], Cell]] = {}
    for number in range(checks):
        count = rng.randint(2, 4)
        column: dict[frozenset[str], Cell] = {}
        for faults in sets:
            weights = [rng.random() + 0.05 for _ in range(count)]
            unknown = faults and rng.random() < gaps
            column[faults] = (None,) * count if unknown else tuple(weight / sum(weights) for weight in weights)
        cells[f"check_{number}"] = column
    return CellTable(cells)


def random_model(rng: Random, size: int, **changes: object) -> FaultModel:
    """A small book: faults with odds, some of which bring others, come and go, or lie beside each other."""
    names = [f"fault_{i}" for i in range(size)]
    links = tuple(
        Link(names[i], names[j], round(rng.uniform(0.1, 0.95), 3))
        for i in range(size)
        for j in range(i + 1, size)
        if rng.random() < 0.35
    )
    settings: dict[str, object] = {
        "odds": {name: round(rng.uniform(0.2, 5), 3) for name in names},
        "links": links,
        "shows_now": {name: round(rng.uniform(0.2, 0.9), 3) for name in names if rng.random() < 0.3},
        "neighbours": {name: tuple(n for n in names if n != name and rng.random() < 0.25) for name in names},
        "sizes": (0.7, 0.2, 0.1),
        "unknown": 0.05,
        "repair_fails": 0.06,
        "disturbs": 0.04,
        "floor": 0.0,
        **changes,
    }
    return FaultModel(**settings)  # type: ignore[arg-type]  # the values fit their names above
