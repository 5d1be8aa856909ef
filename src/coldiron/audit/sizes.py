"""What is too large to be worked with while somebody waits: its solving would take minutes, or its page no screen."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import base, sites
from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake

MOST_BANDS = 60
MOST_PARTS = 120
MOST_FAULTS = 500
MOST_CHECKS = 500
"""A book of the trade has about a tenth of these bands to a check, and a third of the rest to a circuit."""


def sizes(book: Book) -> tuple[Problem, ...]:
    """Report checks with too many bands (a template once), and circuits with too many parts, faults or checks."""
    return (*_checks(book), *_circuits(book))


def _checks(book: Book) -> Iterator[Problem]:
    told = set[str]()
    for check in book.checks.values():
        places = [band.place for finding in check.findings for band in finding.bands]
        count = max(len(places), len(check.findings))
        if count > MOST_BANDS and base(check.id) not in told:
            told.add(base(check.id))
            place = places[MOST_BANDS] if len(places) > MOST_BANDS else check.place
            yield mistake("too-many-bands", place, word=base(check.id), count=count, most=MOST_BANDS)


def _circuits(book: Book) -> Iterator[Problem]:
    for site in sites(book):
        counts = {
            "parts": (len(site.parts), MOST_PARTS),
            "faults": (sum(len(book.kinds[part.kind].faults) for part in site.parts.values()), MOST_FAULTS),
            "checks": (sum(not site.lacks(check) for check in book.checks.values()), MOST_CHECKS),
        }
        for what, (count, most) in counts.items():
            if count > most:
                yield mistake(
                    "circuit-too-large", site.circuit.place, word=site.circuit.id, what=what, count=count, most=most
                )
