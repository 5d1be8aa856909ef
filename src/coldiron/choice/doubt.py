"""Evidence about the evidence: which answer does not fit, and what each answer did to the odds."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt

from coldiron.choice.judge import Hearing, Judge
from coldiron.inference.belief import DIGITS
from coldiron.inference.cells import SOUND, Row, chance_of, log_of
from coldiron.inference.descent import FaultSet
from coldiron.inference.evidence import Evidence, Metered, Reading, Told
from coldiron.inference.timeline import Shown, Weighed
from coldiron.record import dataclass, replace

FAR = 2.5
"""The evidence falls far below expectation if its log is this much less (a chance twelve times smaller) ..."""

SPREADS = 1.5
"""... and this many times the usual spread."""

LIKELY_UNKNOWN = 0.5
"""Doubt is also due when the fault is more likely not in the book than in it."""

TOO_FEW = 2
"""With fewer readings there is nothing to doubt one of them by."""

CANDIDATES = 4
"""How many of the readings that fit least are tried by leaving them out.

Three that agree fit less than the one they speak against, where that one outweighs them.
"""

A_STEP = 0.5
"""A sound figure lies a step away in the mean, which halves the log of its chance and makes it vary as much: normal."""

FAINT = 1e-12
"""Chances closer to 0 or 1 than this are taken as this far, so that log-odds stay finite."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """The readings do not fit together; this one is worth taking again by another method.

    Attributes:
        check: The check whose reading fits least.
        epoch: Its epoch.
        finding: What it read.
        chance: How likely that finding was, by all the other readings.
        shortfall: How far the evidence falls below what the best set would give, as a log of chances.
        without: The likeliest set if that reading is left out, and its chance.
        unknown: Chance that the fault is not in the book, with that reading.
    """

    check: str
    epoch: int
    finding: int
    chance: float
    shortfall: float
    without: tuple[FaultSet, float]
    unknown: float


@dataclass(frozen=True, slots=True)
class Change:
    """What one reading did to the log-odds of a fault: above 0 it speaks for the fault.

    The changes of several readings add up exactly only if they are independent given the set of faults and no repair,
    coming and going, or second fault lies between.
    """

    check: str
    epoch: int
    log_odds: float


def contradiction(judge: Judge, evidence: Evidence) -> Contradiction | None:
    """The answer to doubt first, or None while some set explains the readings as well as could be expected.

    A wrong answer is looked for before an unknown fault is blamed: the answer named is the one without which all the
    others become most likely.
    """
    heard = judge.hear(evidence)
    fits = _fits(judge, heard)
    short = sum(fit.short for fit in fits)
    usual = sqrt(sum(fit.variance for fit in fits))
    if len(fits) < TOO_FEW or (heard.weighed.unknown <= LIKELY_UNKNOWN and short <= max(FAR, SPREADS * usual)):
        return None
    worst = sorted(fits, key=lambda fit: (-round(fit.short, DIGITS), fit.reading.epoch, fit.reading.check))[:CANDIDATES]
    left_out = [(fit.reading, _without(heard, fit.reading)) for fit in worst]
    doubted, without = max(left_out, key=lambda item: round(item[1].evidence, DIGITS))
    sets = judge.report(without).sets
    return Contradiction(
        check=doubted.check,
        epoch=doubted.epoch,
        finding=-1 if doubted.finding is None else doubted.finding,
        chance=exp(heard.weighed.evidence - without.evidence),
        shortfall=short,
        without=sets[0] if sets else (SOUND, 0.0),
        unknown=heard.weighed.unknown,
    )


def expected(judge: Judge, evidence: Evidence, found: Contradiction) -> int:
    """The finding that all the other readings speak for, in the place of the one that is doubted."""
    heard = judge.hear(evidence)
    others = evidence.without(found.epoch, found.check)
    doubted = next(one for one in evidence.readings if (one.epoch, one.check) == (found.epoch, found.check))
    weights = []
    for finding in range(len(judge.cells.row(found.check, SOUND))):
        readings = (*others.readings, replace(doubted, finding=finding, weights=(), figures=()))
        weights.append(round(heard.otherwise(replace(others, readings=readings)).evidence, DIGITS))
    return weights.index(max(weights))


def changes(judge: Judge, evidence: Evidence, fault: str, epoch: int | None = None) -> tuple[Change, ...]:
    """What each reading did to the odds that a fault is present now, the strongest first; or only those of an epoch."""
    heard = judge.hear(evidence)
    whole = _log_odds(heard.weighed, fault)
    found = [
        Change(column.reading.check, column.reading.epoch, whole - _log_odds(_without(heard, column.reading), fault))
        for told in heard.told
        for column in told.columns
        if epoch in (None, column.reading.epoch)
    ]
    return tuple(sorted(found, key=lambda change: (-round(abs(change.log_odds), DIGITS), change.epoch, change.check)))


def raised(judge: Judge, evidence: Evidence, fault: str, story: frozenset[str]) -> float:
    """What all readings together, without what is only told, did to the log-odds of a fault.

    Where several say the same none of them alone changes anything.
    """
    heard = judge.hear(evidence)
    told = replace(evidence, readings=tuple(one for one in evidence.readings if one.check in story))
    return _log_odds(heard.weighed, fault) - _log_odds(heard.otherwise(told), fault)


def _without(heard: Hearing, reading: Reading) -> Weighed:
    return heard.otherwise(heard.evidence.without(reading.epoch, reading.check))


@dataclass(frozen=True, slots=True)
class Fit:
    """How well a reading fits what most likely was.

    `short` is how far the log of its chance falls below the mean of such logs, `variance` their variance.
    """

    reading: Reading
    short: float
    variance: float


def _fits(judge: Judge, heard: Hearing) -> list[Fit]:
    """The readings that say something about what was present and showed: of the leading explanations the best one."""
    paths = heard.timeline.leading(heard.weighed)
    every = [_fits_along(judge, heard, path) for path in paths]
    return min(every, key=lambda fits: round(sum(fit.short for fit in fits), DIGITS), default=[])


def _fits_along(judge: Judge, heard: Hearing, path: Sequence[Shown]) -> list[Fit]:
    return [
        _fit(judge, column.reading, column.told, shown)
        for told, (_, shown) in zip(heard.told, path, strict=False)
        for column in told.columns
        if not column.silent(shown)
    ]


def _fit(judge: Judge, reading: Reading, told: Told, shown: FaultSet) -> Fit:
    if isinstance(told, Metered):
        if usual := judge.cells.usual(reading.check, shown):
            return _figures_fit(judge, reading, told, shown, usual)
        told = reading.weights or reading.finding or 0
    chances, met = _outcomes(judge.cells.row(reading.check, shown), told)
    mean = sum(chance * log(chance) for chance in chances)
    variance = sum(chance * log(chance) ** 2 for chance in chances) - mean**2
    return Fit(reading, mean - log(met), max(variance, 0.0))


def _figures_fit(judge: Judge, reading: Reading, told: Metered, shown: FaultSet, usual: Sequence[Metered]) -> Fit:
    """The same of figures: beside those that were solved, which a real reading misses by a step either way."""
    logs = [log_of(judge.cells.chance(reading.check, figures, shown) or FAINT) for figures in usual]
    mean = sum(logs) / len(logs)
    variance = sum((one - mean) ** 2 for one in logs) / len(logs)
    met = log(max(judge.cells.chance(reading.check, told, shown) or 0.0, FAINT))
    return Fit(reading, mean - A_STEP - met, variance + A_STEP)


def _outcomes(row: Row, told: int | tuple[float, ...]) -> tuple[list[float], float]:
    """The chances of all that could have been told, and of what was: weighted findings are one outcome of several."""
    met = max(chance_of(row, told) or 0.0, FAINT)
    if isinstance(told, int):
        return [max(chance or 0.0, FAINT) for chance in row], met
    left = [max((chance or 0.0) * (1 - weight), FAINT) for chance, weight in zip(row, told, strict=True)]
    return [*left, met], met


def _log_odds(weighed: Weighed, fault: str) -> float:
    chance = min(max(weighed.chance(fault), FAINT), 1 - FAINT)
    return log(chance / (1 - chance))
