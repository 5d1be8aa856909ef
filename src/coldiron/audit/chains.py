"""Chains of cause and victim that run in a circle, or whose cause and victim never share a machine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from coldiron.audit.sites import Site, sites
from coldiron.book.book import Book
from coldiron.book.faults import Chain, FaultRef
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def chains(book: Book) -> tuple[Problem, ...]:
    """Report circles, fault by fault, which are worth a second look, and chains that no circuit has."""
    where = sites(book)
    found = list(_nowhere(book, where))
    graph: dict[str, dict[str, Chain]] = {}
    for chain in book.chains.values():
        for cause in _ids(book, chain.cause):
            for victim in _ids(book, chain.victim):
                if cause != victim:
                    graph.setdefault(cause, {}).setdefault(victim, chain)
    circle = _circle(graph)
    if circle:
        order = list(book.chains)
        links = [graph[cause][victim] for cause, victim in pairwise(circle)]
        *others, last = sorted({link.id: link for link in links}.values(), key=lambda link: order.index(link.id))
        notes = tuple(("and", link.place) for link in others)
        found.append(mistake("chain-circle", last.place, path=" -> ".join(circle), related=notes))
    return tuple(found)


def _nowhere(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    for chain in book.chains.values():
        if where and not any(site.has_faults(chain.cause) and site.has_faults(chain.victim) for site in where):
            yield mistake("chain-nowhere", chain.place, cause=chain.cause, victim=chain.victim)


def _ids(book: Book, faults: FaultRef) -> tuple[str, ...]:
    """Return the faults a reference speaks of."""
    return tuple(fault.id for fault in book.faults.values() if faults.matches(fault.part, fault.kind, fault.what.id))


def _circle(graph: Mapping[str, Mapping[str, Chain]]) -> tuple[str, ...]:
    """Return the first circle found, its first fault also last; nothing if there is none."""
    done: set[str] = set()
    for start in sorted(graph):
        path: list[str] = []
        ways = [iter(sorted(graph.get(start, ())))]
        path.append(start)
        while ways:
            step = next(ways[-1], None)
            if step is None:
                ways.pop()
                done.add(path.pop())
            elif step in path:
                return (*path[path.index(step) :], step)
            elif step not in done:
                path.append(step)
                ways.append(iter(sorted(graph.get(step, ()))))
    return ()
