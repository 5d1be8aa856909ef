"""Bands of one check that overlap or leave a gap, on machines of each voltage."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from coldiron.audit.sites import base, sites, voltages_of
from coldiron.book.book import Book
from coldiron.book.checks import Band, Check
from coldiron.book.problem import Problem
from coldiron.mistakes import filled
from coldiron.record import dataclass

LEAST = 1e-9
"""Volts, amps or ohms by which two bands may overlap or part: what binary fractions make of a figure, no more."""


@dataclass(frozen=True)
class _Span:
    """A band in the figures of one voltage."""

    low: float
    high: float
    finding: str
    band: Band


def bands(book: Book) -> tuple[Problem, ...]:
    """Report overlaps as errors and gaps, whose readings would be odd, as warnings; a template once."""
    found: dict[tuple[str, str, str], Problem] = {}
    where = sites(book)
    for check in book.checks.values():
        for volts in voltages_of(check, where):
            for problem in _between(check, volts):
                found.setdefault((problem.kind, base(check.id), str(problem.place)), problem)
    return tuple(found.values())


def _between(check: Check, volts: int) -> Iterator[Problem]:
    """Compare each band with the next higher one."""
    spans = sorted(_spans(check, volts), key=lambda span: (span.low, span.high))
    for span, following in pairwise(spans):
        filling: dict[str, object] = {"volts": volts, "one": span.finding, "other": following.finding}
        note = ((f"the band of {span.finding}", span.band.place),)
        if following.low < span.high - LEAST:
            filling |= {"low": f"{following.low:g}", "high": f"{min(span.high, following.high):g}"}
            yield filled("bands-overlap", following.band.place, filling, related=note)
        elif following.low > span.high + LEAST:
            filling |= {"low": f"{span.high:g}", "high": f"{following.low:g}"}
            yield filled("bands-gap", following.band.place, filling, related=note)


def _spans(check: Check, volts: int) -> Iterator[_Span]:
    for finding in check.findings:
        for band in finding.bands:
            if band.volts in (0, volts):
                times = volts // 12 if band.per_battery else 1
                yield _Span(band.low * times, band.high * times, finding.id, band)
