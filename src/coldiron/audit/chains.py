"""What brings what: chains that run in a circle or never share a machine, places and events that hurt nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from coldiron.audit.sites import Site, sites
from coldiron.book.book import Book
from coldiron.book.checks import look_at
from coldiron.book.faults import Chain, FaultRef
from coldiron.book.joining import hurt_by
from coldiron.book.machines import Route
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def chains(book: Book) -> tuple[Problem, ...]:
    """Report circles that nobody says are meant, fault by fault, and chains that no circuit has."""
    where = sites(book)
    found = list(_nowhere(book, where))
    graph = _graph(book, [chain for chain in book.chains.values() if not chain.circle])
    circle = _circle(graph)
    if circle:
        order = list(book.chains)
        links = [graph[cause][victim] for cause, victim in pairwise(circle)]
        *others, last = sorted({link.id: link for link in links}.values(), key=lambda link: order.index(link.id))
        notes = tuple(("and", link.place) for link in others)
        found.append(mistake("chain-circle", last.place, path=" -> ".join(circle), related=notes))
    return (*found, *_no_circle(book))


Graph = Mapping[str, Mapping[str, Chain]]
"""By fault its victims, each with the chain that says so."""


def _graph(book: Book, chains: Iterable[Chain]) -> Graph:
    graph: dict[str, dict[str, Chain]] = {}
    for chain in chains:
        victims = [name for one in chain.victims for name in _ids(book, one.faults)]
        for cause in _ids(book, chain.cause):
            for victim in victims:
                if cause != victim:
                    graph.setdefault(cause, {}).setdefault(victim, chain)
    return graph


def _no_circle(book: Book) -> Iterator[Problem]:
    """Chains that say they close a circle, and close none."""
    closing = [chain for chain in book.chains.values() if chain.circle]
    graph = _graph(book, book.chains.values()) if closing else {}
    for chain in closing:
        causes = set(_ids(book, chain.cause))
        reached = {name for one in chain.victims for name in _ids(book, one.faults)}
        waiting = list(reached)
        for name in waiting:
            new = set(graph.get(name, ())) - reached
            reached |= new
            waiting += new
        if not causes & reached:
            yield mistake("no-circle", chain.place, word=chain.id)


def _nowhere(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    for chain in book.chains.values():
        for victim in chain.victims:
            if where and not any(site.has_faults(chain.cause) and site.has_faults(victim.faults) for site in where):
                yield mistake("chain-nowhere", victim.place, cause=chain.cause, victim=victim.faults)


def _ids(book: Book, faults: FaultRef) -> tuple[str, ...]:
    """Return the faults a reference speaks of."""
    return tuple(fault.id for fault in book.faults.values() if faults.matches(fault.part, fault.kind, fault.what.id))


def _circle(graph: Graph) -> tuple[str, ...]:
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


def routes(book: Book) -> tuple[Problem, ...]:
    """Report places that no circuit has, or whose id is taken, and events that can hurt nothing there."""
    where = sites(book)
    return tuple(problem for route in book.routes.values() for problem in _of_route(book, route, where))


def _of_route(book: Book, route: Route, where: tuple[Site, ...]) -> Iterator[Problem]:
    look = book.checks[look_at(route.id)]
    if route.id in book.parts or look.reads.part != route.id:
        yield mistake("route-taken", route.place, word=route.id, look=look.id)
    if where and not any(route.id in site.routes for site in where):
        yield mistake("route-nowhere", route.place, word=route.id)
        return
    kinds = {part: book.parts[part].kind for part in route.parts if part in book.parts}
    for name in route.events:
        if book.faults.keys().isdisjoint(hurt_by(book.events[name], tuple(kinds), kinds)):
            yield mistake("event-harmless", route.place, word=route.id, event=name)
