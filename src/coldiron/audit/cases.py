"""Cases that name what is not on their circuit."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import Site, site_of, sites
from coldiron.book.book import Book
from coldiron.book.cases import Case, ExpectsAmong, ExpectsFirst, ExpectsHeld, ExpectsNext, ExpectsNot
from coldiron.book.problem import Problem
from coldiron.book.variants import WITH, circuit_named
from coldiron.mistakes import mistake

FAULTS_EXPECTED = (ExpectsFirst, ExpectsAmong, ExpectsNot, ExpectsHeld)
"""What a case may expect of faults."""


def cases(book: Book) -> tuple[Problem, ...]:
    """Report checks that cannot be made, and faults that cannot be, on the circuit of a case."""
    where = {site.circuit.id: site for site in sites(book)}
    found: list[Problem] = []
    for case in book.cases.values():
        if WITH in case.circuit and case.circuit not in where:
            made = circuit_named(book, case.circuit)
            if made is None:
                base, *options = case.circuit.split(WITH)
                found.append(mistake("like-cannot-be", case.place, circuit=base, options=", ".join(options)))
                continue
            where[case.circuit] = site_of(book, made)
        if case.circuit in where:
            found += _of(book, case, where[case.circuit])
    return tuple(found)


def _of(book: Book, case: Case, site: Site) -> Iterator[Problem]:
    for given in case.given:
        yield from _check(book, site, given.id, given)
    for expect in case.expects:
        if isinstance(expect, ExpectsNext):
            yield from _check(book, site, expect.check, case)
    expected = (one.faults for one in case.expects if isinstance(one, FAULTS_EXPECTED))
    for faults in (*case.repaired, *expected):
        if not site.has_faults(faults):
            yield mistake("not-on-circuit", faults.place, word=faults, circuit=site.circuit.id)


def _check(book: Book, site: Site, name: str, holder: object) -> Iterator[Problem]:
    check = book.checks.get(name)
    if check is not None and site.lacks(check):
        place = holder.place  # type: ignore[attr-defined]
        yield mistake("not-on-circuit", place, word=name, circuit=site.circuit.id)
