"""Figures that would be the same on 12 V and on 24 V machines, or are given for one of them only."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import Site, base, sites, voltages_of
from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.conditions import ReadingAgainst, ReadingsAgainst, checks_of
from coldiron.book.machines import Circuit
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake

SMALL = 5.0
"""Volts up to here may be a drop or a rest of voltage, the same on both; more is a share of the supply."""


def voltages(book: Book) -> tuple[Problem, ...]:
    """Report circuits whose batteries do not make their voltage, and figures that do not follow the voltage."""
    found = [_batteries(circuit) for circuit in book.circuits.values() if circuit.volts != 12 * circuit.batteries]
    where = sites(book)
    seen: set[str] = set()
    for check in book.checks.values():
        if len(voltages_of(check, where)) > 1:
            if base(check.id) not in seen:
                found += _figures(check)
            seen.add(base(check.id))
    return (*found, *_shown(book, where), *_compared(book, where))


def _shown(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    """Look at the good readings of duties, where one is shown on machines of both voltages."""
    for duty in book.duties.values():
        shown_on = [site for site in where if not duty.has or any(site.has_faults(one) for one in duty.has)]
        given = {band.volts for band in duty.bands}
        if not given or len({site.circuit.volts for site in shown_on}) < 2:
            continue
        if 0 not in given and len(given) == 1:
            (only,) = given
            yield mistake("good-one-voltage", duty.place, word=duty.id, volts=only, other=36 - only)
        for band in duty.bands:
            if duty.quantity == "volts" and not band.volts and not band.per_battery and band.low > SMALL:
                yield mistake("not-scaled", band.place, word="good", low=f"{band.low:g}")


def _batteries(circuit: Circuit) -> Problem:
    return mistake("batteries-volts", circuit.place, batteries=circuit.batteries, volts=circuit.volts)


def _figures(check: Check) -> Iterator[Problem]:
    """Compare the bands of a check that is made on both."""
    for finding in check.findings:
        given = {band.volts for band in finding.bands}
        if finding.bands and 0 not in given and len(given) == 1:
            (only,) = given
            yield mistake("one-voltage", finding.place, word=finding.id, volts=only, other=36 - only)
        for band in finding.bands:
            if check.reads.quantity == "volts" and not band.volts and not band.per_battery and band.low > SMALL:
                yield mistake("not-scaled", band.place, word=finding.id, low=f"{band.low:g}")


def _compared(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    """Look at the figures rules compare readings with, where a rule can fire on machines of both voltages."""
    for rule in book.rules.values():
        named = [book.checks[name] for one in rule.when for name in checks_of(one.test) if name in book.checks]
        volts = {site.circuit.volts for site in where if not any(site.lacks(check) for check in named)}
        for one in rule.when if len(volts) > 1 else ():
            match one.test:
                case ReadingAgainst(check=check, figure=figure) | ReadingsAgainst(check=check, margin=figure):
                    of_volts = check in book.checks and book.checks[check].reads.quantity == "volts"
                    if of_volts and abs(figure) > SMALL:
                        yield mistake("rule-figure", one.place, figure=f"{figure:g}")
