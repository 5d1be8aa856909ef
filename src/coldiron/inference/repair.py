"""What a repair leaves: it may fail, a victim fails again while its cause remains, a neighbour may be disturbed."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import FaultModel, Prior


def after_repair(
    faults: FaultSet, repair: frozenset[str], model: FaultModel, prior: Prior, largest: int
) -> list[tuple[FaultSet, float]]:
    """The sets that may be present after the faults in `repair` were repaired, with chances.

    Args:
        faults: What was present.
        repair: The faults the work deals with, present or not.
        model: Chances that a repair fails and that it disturbs a neighbour.
        prior: Cause and victim; causes are settled before their victims.
        largest: Sets that disturbing a neighbour would make larger than this are left out.
    """
    found: dict[frozenset[str], float] = {frozenset(faults): 1.0}
    dealt_with = repair.intersection(faults)
    nearby = sorted({near for name in repair for near in model.neighbours.get(name, ())} - repair)
    disturbing = bool(nearby) and model.disturbs > 0
    if not dealt_with and not disturbing:
        return [(faults, 1.0)]
    for name in prior.causes_first if len(dealt_with) > 1 else dealt_with:
        if name in dealt_with:
            found = _mended(name, found, model.repair_fails, prior.causes.get(name, {}))
    if disturbing:
        found = _disturbed(nearby, found, model.disturbs, largest)
    return sorted((tuple(sorted(left)), chance) for left, chance in found.items() if chance > 0)


def _mended(
    name: str, found: Mapping[frozenset[str], float], fails: float, causes: Mapping[str, float]
) -> dict[frozenset[str], float]:
    """Take one fault out, unless the repair fails or a cause that is still present brings it back."""
    after: dict[frozenset[str], float] = {}
    for present, chance in found.items():
        stays_away = 1.0
        for cause, brings in causes.items():
            if cause in present:
                stays_away *= 1 - brings
        gone = (1 - fails) * stays_away
        mended = present - {name}
        after[mended] = after.get(mended, 0.0) + chance * gone
        after[present] = after.get(present, 0.0) + chance * (1 - gone)
    return after


def _disturbed(
    nearby: list[str], found: Mapping[frozenset[str], float], disturbs: float, largest: int
) -> dict[frozenset[str], float]:
    """Bring in neighbours, each by itself."""
    after: dict[frozenset[str], float] = {}
    for present, chance in found.items():
        free = [name for name in nearby if name not in present]
        for choice in product((False, True), repeat=len(free)):
            hit = [name for name, struck in zip(free, choice, strict=True) if struck]
            if hit and len(present) + len(hit) > largest:
                continue
            left = present.union(hit)
            weight = chance * disturbs ** len(hit) * (1 - disturbs) ** (len(free) - len(hit))
            after[left] = after.get(left, 0.0) + weight
    return after
