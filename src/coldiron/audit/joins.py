"""Pieces that do not join: ends that meet nothing, parts without a way to the battery, one part joined two ways."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coldiron.audit.sites import Site, sites
from coldiron.book.book import Book
from coldiron.book.machines import Part, Piece
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake

POSTS = ("battery_positive", "battery_negative")


def joins(book: Book) -> tuple[Problem, ...]:
    """Look at every piece by itself, then at the pieces of each circuit together."""
    found = [problem for piece in book.pieces.values() for problem in _untouched(piece)]
    for site in sites(book):
        found += _posts(site)
        found += _joined_differently(book, site)
        found += _meeting_nothing(book, site)
        found += _cut_off(site)
    return tuple(found)


def _untouched(piece: Piece) -> Iterator[Problem]:
    """Ends that no part of the piece itself reaches."""
    reached = {point for part in piece.parts for point in part.joins.values()}
    for end in piece.ends:
        if end not in reached:
            yield mistake("end-unreached", piece.place, piece=piece.id, end=end)


def _posts(site: Site) -> Iterator[Problem]:
    for post in POSTS:
        if post not in site.points:
            yield mistake("no-post", site.circuit.place, circuit=site.circuit.id, post=post)


def _joined_differently(book: Book, site: Site) -> Iterator[Problem]:
    for piece in site.circuit.pieces:
        for part in book.pieces[piece].parts:
            first = site.parts[part.id]
            if (first.joins, first.values, first.closed) != (part.joins, part.values, part.closed):
                note = (("the other", first.place),)
                yield mistake("two-ways", part.place, part=part.id, circuit=site.circuit.id, related=note)


def _meeting_nothing(book: Book, site: Site) -> Iterator[Problem]:
    """Ends of a piece that no other piece of the circuit reaches."""
    for name in site.circuit.pieces:
        piece = book.pieces[name]
        others = {
            point
            for other in site.circuit.pieces
            if other != name
            for part in book.pieces[other].parts
            for point in part.joins.values()
        }
        own = {point for part in piece.parts for point in part.joins.values()}
        for end in piece.ends:
            if end in own and end not in others and end not in POSTS:
                yield mistake("end-meets-nothing", piece.place, piece=name, end=end, circuit=site.circuit.id)


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
