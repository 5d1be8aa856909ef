"""What is known of one job: readings, repairs between epochs, and what history says."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Protocol, runtime_checkable

from coldiron.record import dataclass, field


class Table(Protocol):
    """What each check would show: the only thing the beliefs ask of circuits and of the book."""

    def chances(self, check: str, faults: frozenset[str], /) -> tuple[float | None, ...]:
        """Chance of each finding of `check`, in a fixed order, with exactly these faults in the machine.

        They sum to 1. A None is a cell nobody knows: its finding is then no evidence for or against this set.
        """
        ...


@runtime_checkable
class Levelled(Protocol):
    """A table that also knows how bad faults may be: a poor joint is as poor for one check as for the next."""

    def levels(self, check: str, faults: frozenset[str], /) -> tuple[tuple[float | None, ...], ...]:
        """One row of chances for each level of severity, equally likely; none where the level does not matter."""
        ...


@runtime_checkable
class Grouped(Protocol):
    """A table that also knows which checks it works out at once."""

    def at_once(self, check: str, /) -> Hashable:
        """The same for checks whose rows under a set are worked out together; None where nothing is worked out."""
        ...


@dataclass(frozen=True, slots=True)
class Metered:
    """What a meter showed each time it was read, the latest last, in V, A or ohm."""

    values: tuple[float, ...]


Told = int | tuple[float, ...] | Metered
"""The number of a finding, a weight for each, or the figures themselves."""


@runtime_checkable
class Measured(Protocol):
    """A table that knows what a meter would show, and not only in which band."""

    def weighs(self, check: str, /) -> bool:
        """Whether the figures of a check can be weighed."""
        ...

    def weighed(self, check: str, faults: frozenset[str], figures: Metered, /) -> tuple[float, ...]:
        """How likely figures are with exactly these faults: one likelihood, or several for as many equal sizes.

        Likelihoods of the same figures compare; those of other figures do not.
        """
        ...

    def astray(self, check: str, figures: Metered, /) -> float:
        """How likely the same figures are where nothing at all is known of the check."""
        ...

    def usual(self, check: str, faults: frozenset[str], /) -> tuple[Metered, ...]:
        """Metered that these faults would show, equally likely."""
        ...


class Unmeasured:
    """Stands for a table that weighs no figures."""

    def weighs(self, _check: str) -> bool:
        """Of no check."""
        return False

    def weighed(self, check: str, _faults: frozenset[str], _figures: Metered) -> tuple[float, ...]:
        """Never asked for."""
        raise LookupError(check)

    def astray(self, check: str, _figures: Metered) -> float:
        """Never asked for."""
        raise LookupError(check)

    def usual(self, _check: str, _faults: frozenset[str]) -> tuple[Metered, ...]:
        """None are known."""
        return ()


def measuring(table: Table) -> Measured:
    """How a table weighs figures."""
    return table if isinstance(table, Measured) else Unmeasured()


@dataclass(frozen=True, slots=True)
class Reading:
    """One answer: the place of the finding among the chances of its check, or None for "not sure" or "cannot reach".

    `masks` are (check, faults) pairs for a finding derived from other readings: in this epoch those checks say nothing
    about those faults any more, because this reading says it better.

    `weights` stand where one finding does not say it all: of a limit ("less than 10") how much of each finding it
    covers, of a reading taken more than once what all its readings together say. One weight for each finding, the
    largest 1; the likelihood is then the sum of the chances times their weights, and `finding` the likeliest of them.

    `figures` stand where a meter showed plain figures: a table that is `Measured` weighs them instead of the finding.
    """

    check: str
    finding: int | None
    epoch: int = 0
    masks: tuple[tuple[str, frozenset[str]], ...] = ()
    weights: tuple[float, ...] = ()
    figures: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that a job's log says about its faults, in any order.

    `repairs[k]` are the faults whose repair ended epoch k, so readings may have epochs 0 to len(repairs). `shifts` are
    factors on odds from history; `sizes` replaces the prior of the number of faults (flood, fire, reversed jump).

    Raises:
        ValueError: if one check has two findings in one epoch, or a reading has an epoch that has not begun.
    """

    readings: tuple[Reading, ...] = ()
    repairs: tuple[frozenset[str], ...] = ()
    shifts: Mapping[str, float] = field(default_factory=dict)
    sizes: tuple[float, ...] | None = None

    def __post_init__(self) -> None:
        seen = set()
        for reading in self.readings:
            if not 0 <= reading.epoch <= len(self.repairs):
                raise ValueError(f"{reading.check} is read in epoch {reading.epoch}, which has not begun")
            if (reading.epoch, reading.check) in seen:
                raise ValueError(f"{reading.check} has two findings in epoch {reading.epoch}")
            seen.add((reading.epoch, reading.check))

    def epochs(self) -> tuple[tuple[Reading, ...], ...]:
        """The readings that say something, by epoch, each epoch in order of the checks' ids."""
        told = sorted((r for r in self.readings if r.finding is not None), key=lambda reading: reading.check)
        return tuple(tuple(r for r in told if r.epoch == epoch) for epoch in range(len(self.repairs) + 1))

    def without(self, epoch: int, check: str) -> Evidence:
        """The same evidence less one reading."""
        kept = tuple(r for r in self.readings if (r.epoch, r.check) != (epoch, check))
        return Evidence(kept, self.repairs, self.shifts, self.sizes)

    def before_repair(self) -> Evidence:
        """The same evidence as it was before the latest repair."""
        last = len(self.repairs)
        return Evidence(tuple(r for r in self.readings if r.epoch < last), self.repairs[:-1], self.shifts, self.sizes)
