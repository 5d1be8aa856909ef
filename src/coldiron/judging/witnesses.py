"""What one check has told in one epoch, as a reading that can be weighed: spans, and readings taken more than once.

A reading taken again is a further witness: whoever misread the first has not always misread the second. Part of the
slips are the same both times (the probe on the wrong stud, the wrong part), so two that agree are not twice as sure,
and two that differ say that one of them is a slip and not which.

The chances that the tables give are of findings as they are reported, slips included. What several reports of one
true finding are worth is worked out for the true findings, and turned back into weights of reported ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import prod

from coldiron.book.checks import ODD, Check
from coldiron.inference.evidence import Reading
from coldiron.inference.ruler import COMMON
from coldiron.inference.table import ODD_SHARE
from coldiron.readings.findings import Understood


def told_by(check: Check, taken: Sequence[Understood], epoch: int) -> Reading:
    """All readings of a check in one epoch, the latest last, as one; those that tell nothing are left out."""
    rows = [row for row in (_shares(check, one) for one in taken) if row]
    if not rows:
        return Reading(check.id, None, epoch)
    weights = rows[-1] if len(rows) == 1 else _together(rows, check.wrong)
    top = max(weights)
    finding = weights.index(top)
    figures = _figures(taken)
    if len(rows) == 1 and taken[-1].finding:
        return Reading(check.id, finding, epoch, figures=figures)
    return Reading(check.id, finding, epoch, weights=tuple(weight / top for weight in weights), figures=figures)


def _figures(taken: Sequence[Understood]) -> tuple[float, ...]:
    """The figures that were read, if each reading that tells anything is one."""
    values = [one.value for one in taken if one.tells]
    plain = [value for value in values if value is not None]
    return tuple(plain) if len(plain) == len(values) else ()


def _shares(check: Check, understood: Understood) -> list[float]:
    """How much of each finding a reading covers, `odd` last; empty if it tells nothing."""
    names = [*(finding.id for finding in check.findings), ODD]
    cover = dict(understood.cover) or {understood.finding: 1.0}
    return [cover.get(name, 0.0) for name in names] if set(names) & cover.keys() else []


def _together(rows: Sequence[Sequence[float]], wrong: float) -> list[float]:
    """Weights of the reported findings, so that their chances come to the chance of all these readings."""
    count = len(rows[0])
    common = [prod(row[said] for row in rows) for said in range(count)]
    seen = []
    for true in range(count):
        reports = _reports(true, count, wrong)
        same = sum(chance * share for chance, share in zip(reports, common, strict=True))
        apart = prod(sum(chance * share for chance, share in zip(reports, row, strict=True)) for row in rows)
        seen.append(COMMON * same + (1 - COMMON) * apart)
    return _turned_back(seen, wrong)


def _spread(count: int) -> list[float]:
    """How the findings share in slips: `odd` is reported by mistake less often than the others."""
    return [1.0] * (count - 1) + [ODD_SHARE]


def _reports(true: int, count: int, wrong: float) -> list[float]:
    """The chance of each reported finding where one is true."""
    spread = _spread(count)
    others = sum(spread) - spread[true]
    return [1 - wrong if said == true else wrong * spread[said] / others for said in range(count)]


def _turned_back(seen: Sequence[float], wrong: float) -> list[float]:
    """The weights w for which the sum of w times the reports of a true finding is what was seen, for every one."""
    spread = _spread(len(seen))
    slips = [wrong / (sum(spread) - own) for own in spread]
    kept = [1 - wrong - slip * own for slip, own in zip(slips, spread, strict=True)]
    if min(kept) <= 0:  # misread more often than not: nothing can be turned back
        return list(seen)
    met = sum(own * value / keep for own, value, keep in zip(spread, seen, kept, strict=True))
    all_slips = met / (1 + sum(own * slip / keep for own, slip, keep in zip(spread, slips, kept, strict=True)))
    return [(value - slip * all_slips) / keep for value, slip, keep in zip(seen, slips, kept, strict=True)]
