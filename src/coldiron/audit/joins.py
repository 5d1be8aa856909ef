"""Sections that do not join: ends that meet nothing, parts without a way to the battery, one part joined two ways."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coldiron.audit.sites import Site, sites
from coldiron.book.book import Book
from coldiron.book.joining import ends_open
from coldiron.book.machines import Part, Section
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake

POSTS = ("battery_positive", "battery_negative")


def joins(book: Book) -> tuple[Problem, ...]:
    """Look at every section by itself, then at the sections of each circuit together, with and without options."""
    found = [problem for section in book.sections.values() for problem in _untouched(section)]
    found += [
        mistake("circuit-goes-on", circuit.place, word=circuit.id, section=circuit.sections[-1])
        for circuit in book.circuits.values()
        if ends_open(book.sections, circuit)
    ]
    for site in sites(book):
        found += _posts(site)
        found += _joined_differently(site)
        found += _meeting_nothing(book, site)
        if site.circuit.id in book.circuits:
            found += _not_free(book, site)
        found += _cut_off(site)
    return tuple(found)


def _untouched(section: Section) -> Iterator[Problem]:
    """Ends that no part of the section itself reaches."""
    reached = {point for part in section.parts for point in part.joins.values()}
    for end in section.ends:
        if end not in reached:
            yield mistake("end-unreached", section.place, section=section.id, end=end)


def _posts(site: Site) -> Iterator[Problem]:
    for post in POSTS:
        if post not in site.points:
            yield mistake("no-post", site.circuit.place, circuit=site.circuit.id, post=post)


def _joined_differently(site: Site) -> Iterator[Problem]:
    for _, own in site.pieces:
        for part in own:
            first = site.parts[part.id]
            if (first.joins, first.values, first.closed) != (part.joins, part.values, part.closed):
                note = (("the other", first.place),)
                yield mistake("two-ways", part.place, part=part.id, circuit=site.circuit.id, related=note)


def _meeting_nothing(book: Book, site: Site) -> Iterator[Problem]:
    """Ends of a section that no other section of the circuit reaches; on a variant, what is free anywhere is free."""
    free = set(site.circuit.free)
    if site.circuit.id not in book.circuits:
        free.update(point for circuit in book.circuits.values() for point in circuit.free)
    reached = {name: {point for part in own for point in part.joins.values()} for name, own in site.pieces}
    for name, own in reached.items():
        section = book.sections[name]
        others = {point for other, points in reached.items() if other != name for point in points}
        for end in section.ends:
            if end in own and end not in others and end not in (*POSTS, *free):
                yield mistake("end-meets-nothing", section.place, section=name, end=end, circuit=site.circuit.id)


def _not_free(book: Book, site: Site) -> Iterator[Problem]:
    """Points said to be free that no section of the circuit ends at, or that several meet."""
    for point in site.circuit.free:
        ending = [name for name in site.circuit.sections if point in book.sections[name].ends]
        meeting = [name for name, own in site.pieces if any(point in part.joins.values() for part in own)]
        if not ending or len(meeting) > 1:
            yield mistake("not-free", site.circuit.place, word=point, circuit=site.circuit.id)


def _cut_off(site: Site) -> Iterator[Problem]:
    """Parts that no path of parts joins to a battery post."""
    reached = set(POSTS)
    waiting: Mapping[str, Part] = site.parts
    while True:
        near = {name: part for name, part in waiting.items() if reached & set(part.joins.values())}
        if not near:
            break
        reached |= {point for part in near.values() for point in part.joins.values()}
        waiting = {name: part for name, part in waiting.items() if name not in near}
    for part in waiting.values():
        yield mistake("cut-off", part.place, part=part.id, circuit=site.circuit.id)
