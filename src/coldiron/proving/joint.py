"""Whether one machine can show several findings of solved checks at once, and which comes nearest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from math import inf

from coldiron.proving.yard import Faults, Read, SolvedMachine
from coldiron.record import dataclass

Fits = Callable[[Read], float]
"""How well what is read on a machine fits: the least chance of all that is wanted, 0 to 1."""

ENOUGH = 0.02
"""Each of several readings may be as rare as this on the machine that explains them."""


@dataclass(frozen=True, slots=True)
class Best:
    """The machine that fits best: its faults, how well, and how to read it. Nothing was looked at: no reader."""

    faults: Faults
    fit: float
    read: Read | None = None


def best(solved: SolvedMachine, fits: Fits, likely: Iterable[str] = (), *, must: frozenset[str] = frozenset()) -> Best:
    """The machine that fits best; the first that fits well enough: no fault, one, a chained pair, then any pair.

    Args:
        solved: the machine.
        fits: how well a machine fits.
        likely: faults that are tried first in pairs.
        must: if given, one of these faults is in it.
    """
    found = Best(frozenset(), -inf)
    for faults, fine in _tried(solved, likely):
        if must and not faults & must:
            continue
        for read in solved.fine(faults) if fine else solved.coarse(faults):
            fit = fits(read)
            if fit > found.fit:
                found = Best(faults, fit, read)
            if fit >= ENOUGH:
                return found
    return found


def _tried(solved: SolvedMachine, likely: Iterable[str]) -> Iterator[tuple[Faults, bool]]:
    yield from ((faults, False) for faults in solved.chained)
    yield from ((faults, True) for faults in solved.chained)
    yield from ((faults, False) for faults in solved.pairs(likely))
