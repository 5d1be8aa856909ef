"""Strata: in which order rules must run so that a fact is complete before a rule looks for its absence.

Rules and facts form a graph: a fact leads to the rules that look at it, a rule to the facts it gives. Whatever lies on
one cycle shares a stratum; a rule that looks for the absence of a derived fact comes one stratum later. An absence on
a cycle leaves the rules without one meaning, and is reported. What lies on one cycle is found with Tarjan's algorithm
("Depth-first search and linear graph algorithms", 1972), written without recursion.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coldiron.engine.facts import Fact

Lists = Sequence[Sequence[int]]


@dataclass(frozen=True, slots=True)
class CycleLink:
    """One rule of a cycle: it gives `gives` from `needs`, or from the absence of `needs` where `absent` is set."""

    rule: str
    needs: Fact
    absent: bool
    gives: Fact

    def __str__(self) -> str:
        """The link in words."""
        source = "the absence of " if self.absent else ""
        return f"rule {self.rule} gives '{' '.join(self.gives)}' from {source}'{' '.join(self.needs)}'"


@dataclass(frozen=True, slots=True)
class Cycle:
    """Why a rule set cannot run: each link gives what the next one needs, the last what the first one needs absent."""

    links: tuple[CycleLink, ...]

    @classmethod
    def of(cls, steps: Sequence[tuple[str, Fact, bool]]) -> Cycle:
        """From (rule, the fact it looks at, whether for its absence); each rule gives the fact of the next step."""
        turned = [*steps[1:], steps[0]]
        return cls(
            tuple(
                CycleLink(rule, fact, absent, after)
                for (rule, fact, absent), (_, after, _) in zip(steps, turned, strict=True)
            )
        )

    def __str__(self) -> str:
        """One sentence with every rule of the cycle."""
        return f"A fact must not depend on its own absence: {'; '.join(map(str, self.links))}."


@dataclass(frozen=True, slots=True)
class Graph:
    """Who looks at a fact (`needs`), or for its absence (`bars`), and who gives it; by fact, and `gives` by rule."""

    needs: Lists
    bars: Lists
    gives: Lists
    givers: Lists

    def after(self, node: int) -> Sequence[int]:
        """Nodes that depend on a node. Facts are numbered as they are, rules follow the facts."""
        facts = len(self.needs)
        if node >= facts:
            return self.gives[node - facts]
        return [facts + rule for rule in (*self.needs[node], *self.bars[node])]


Path = tuple[tuple[int, int, bool], ...]


def stratify(graph: Graph) -> list[int] | Path:
    """The stratum of every rule, from 0; or, where there is none, a cycle as (rule, fact it looks at, absent) steps."""
    if not any(bars and givers for bars, givers in zip(graph.bars, graph.givers, strict=True)):
        return [0] * len(graph.gives)
    facts = len(graph.needs)
    level = [0] * (facts + len(graph.gives))
    component = [-1] * len(level)
    in_order = _components(graph)[::-1]
    for name, nodes in enumerate(in_order):
        for node in nodes:
            component[node] = name
    broken = _absence_within(graph, component)
    if broken is not None:
        return _cycle(graph, component, *broken)
    for nodes in in_order:
        here = max(level[node] for node in nodes)
        for node in nodes:
            level[node] = here
            for later in graph.after(node):
                level[later] = max(level[later], here)
            if node < facts:
                for rule in graph.bars[node]:
                    level[facts + rule] = max(level[facts + rule], here + 1)
    return level[facts:]


def _components(graph: Graph) -> list[list[int]]:
    """Strongly connected components reachable from any rule, each after all that depend on it.

    A fact that no rule gives depends on nothing and stays out.
    """
    search = _Search(graph)
    for rule in range(len(graph.gives)):
        search.visit(len(graph.needs) + rule)
    return search.found


class _Search:
    """Depth-first search that keeps, for every node, when it was first seen and the earliest node it leads back to."""

    def __init__(self, graph: Graph) -> None:
        nodes = len(graph.needs) + len(graph.gives)
        self.graph = graph
        self.seen = 0
        self.order = [0] * nodes  # 0: not seen yet
        self.low = [0] * nodes
        self.open = [False] * nodes
        self.stack: list[int] = []
        self.trail: list[tuple[int, Iterator[int]]] = []
        self.found: list[list[int]] = []

    def visit(self, root: int) -> None:
        if not self.order[root]:
            self._enter(root)
        while self.trail:
            node, later = self.trail[-1]
            child = next(later, None)
            if child is None:
                self._leave()
            elif not self.order[child]:
                self._enter(child)
            elif self.open[child]:
                self.low[node] = min(self.low[node], self.order[child])

    def _enter(self, node: int) -> None:
        self.seen += 1
        self.order[node] = self.low[node] = self.seen
        self.open[node] = True
        self.stack.append(node)
        self.trail.append((node, iter(self.graph.after(node))))

    def _leave(self) -> None:
        node, _ = self.trail.pop()
        if self.trail:
            parent = self.trail[-1][0]
            self.low[parent] = min(self.low[parent], self.low[node])
        if self.low[node] == self.order[node]:
            component = [self.stack.pop()]
            while component[-1] != node:
                component.append(self.stack.pop())
            for member in component:
                self.open[member] = False
            self.found.append(component)


def _absence_within(graph: Graph, component: Sequence[int]) -> tuple[int, int] | None:
    """The first (rule, fact) where a rule looks for the absence of a fact of its own component."""
    facts = len(graph.needs)
    return min(
        (
            (rule, fact)
            for fact, bars in enumerate(graph.bars)
            for rule in bars
            if component[fact] == component[facts + rule]
        ),
        default=None,
    )


def _cycle(graph: Graph, component: Sequence[int], rule: int, fact: int) -> Path:
    """The shortest way from a rule back to the fact whose absence it looks for, as (rule, fact, absent) steps."""
    facts = len(graph.needs)
    start = facts + rule
    came_from = {start: start}
    wave = [start]
    while fact not in came_from:
        found: list[int] = []
        for node in wave:
            for later in graph.after(node):
                if component[later] == component[start] and later not in came_from:
                    came_from[later] = node
                    found.append(later)
        wave = found
    nodes = [fact]
    while nodes[-1] != start:
        nodes.append(came_from[nodes[-1]])
    nodes.reverse()  # rule, fact, rule, fact, ..., the absent fact
    steps = [(rule, fact, True)]
    for seen, user in zip(nodes[1::2], nodes[2::2], strict=False):
        steps.append((user - facts, seen, user - facts in graph.bars[seen]))
    return tuple(steps)
