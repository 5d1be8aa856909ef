"""Rules that rest on their own absence: a fact that follows from the lack of what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from coldiron.audit.sites import base
from coldiron.book.book import Book
from coldiron.book.conclusions import ConcludesFact, CountsInstead
from coldiron.book.conditions import FactHolds, FindingIs
from coldiron.book.problem import Problem
from coldiron.book.rules import Rule
from coldiron.book.source import Place
from coldiron.mistakes import mistake

Node = str
Edges = Mapping[Node, Mapping[Node, Place]]


def strata(book: Book) -> tuple[Problem, ...]:
    """Report every conclusion that stands in a circle with an absence in it, which has no settled meaning."""
    edges: dict[Node, dict[Node, Place]] = {}
    absences: dict[tuple[Node, Node], Place] = {}
    for rule in book.rules.values():
        for made in _made(rule):
            for needed, absent in _needed(rule):
                edges.setdefault(needed, {}).setdefault(made, rule.place)
                if absent:
                    absences.setdefault((needed, made), rule.place)
    found = []
    for (needed, made), place in absences.items():
        if path := _path(edges, made, needed):
            shown = " -> ".join([f"not {needed}", *path])
            notes = tuple(("and", edges[one][other]) for one, other in pairwise(path))
            found.append(mistake("absence-circle", place, word=made, path=shown, related=notes))
    return tuple(found)


def _made(rule: Rule) -> list[Node]:
    """What a rule concludes that other rules can ask for."""
    facts = [f"fact {then.fact}" for then in rule.then if isinstance(then, ConcludesFact)]
    return facts + [f"{base(then.check)} {then.finding}" for then in rule.then if isinstance(then, CountsInstead)]


def _needed(rule: Rule) -> list[tuple[Node, bool]]:
    """What a rule asks for that other rules can conclude, and whether it asks for its absence."""
    tests = [(one.test, one.negated) for one in rule.when]
    facts = [(f"fact {test.fact}", negated) for test, negated in tests if isinstance(test, FactHolds)]
    found = [(test, negated) for test, negated in tests if isinstance(test, FindingIs)]
    return facts + [(f"{base(test.check)} {test.finding}", negated) for test, negated in found]


def _path(edges: Edges, start: Node, end: Node) -> tuple[Node, ...]:
    """Return the shortest path from one node to another, both in it; nothing if there is none."""
    paths: dict[Node, tuple[Node, ...]] = {start: (start,)}
    waiting = [start]
    for node in waiting:
        if node == end:
            return paths[node]
        for step in sorted(edges.get(node, ())):
            if step not in paths:
                paths[step] = (*paths[node], step)
                waiting.append(step)
    return ()
