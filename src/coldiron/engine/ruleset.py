"""Rules made ready to run: facts and rules become whole numbers, and each fact knows the rules that wait for it."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from coldiron.engine.facts import Compare, Fact, FactRule, Has, Lacks
from coldiron.engine.strata import Cycle, Graph, Lists, stratify


@dataclass(frozen=True, slots=True, eq=False)
class RuleSet:
    """Compiled rules. Rules are numbered in the order of their ids, whatever order they were given in.

    `needs[fact]` are the rules waiting for a fact, `bars[fact]` those it forbids, `givers[fact]` those that give it,
    `gives[rule]` what a rule gives, `level[rule]` its stratum. `unmet[rule]` counts the conditions that are not met
    while nothing is known: every `Has` and every `Compare`. `free` are the rules that wait for nothing.
    """

    rules: Sequence[FactRule]
    facts: tuple[Fact, ...]
    number: dict[Fact, int]
    needs: Lists
    bars: Lists
    givers: Lists
    gives: Lists
    level: Sequence[int]
    levels: int
    unmet: array[int]
    free: tuple[int, ...]
    compares: tuple[tuple[Compare, Sequence[int]], ...]
    reads: dict[str, list[int]]

    def __repr__(self) -> str:
        return f"RuleSet({len(self.rules)} rules, {len(self.facts)} facts, {self.levels} strata)"


def compile_rules(rules: Iterable[FactRule]) -> RuleSet | Cycle:
    """Make rules ready to run, in time linear in their size where the collector of cycles seldom runs meanwhile.

    Returns:
        The rule set, or the cycle that leaves the meaning of the rules open: a fact that depends on its own absence.

    Raises:
        ValueError: two rules have the same id.
    """
    ordered = sorted(rules, key=lambda rule: rule.id)
    for one, other in pairwise(ordered):
        if one.id == other.id:
            raise ValueError(f"two rules have the id {one.id!r}")
    index = _Index()
    for rule in ordered:
        index.add(rule)
    graph = Graph(index.needs, index.bars, index.gives, index.givers)
    level = stratify(graph)
    if isinstance(level, tuple):
        return Cycle.of([(ordered[rule].id, index.facts[fact], absent) for rule, fact, absent in level])
    return RuleSet(
        rules=tuple(ordered),
        facts=tuple(index.facts),
        number=index.number,
        needs=tuple(map(tuple, index.needs)),
        bars=tuple(map(tuple, index.bars)),
        givers=tuple(map(tuple, index.givers)),
        gives=tuple(map(tuple, index.gives)),
        level=tuple(level),
        levels=max(level, default=-1) + 1,
        unmet=index.unmet,
        free=tuple(rule for rule, count in enumerate(index.unmet) if not count),
        compares=tuple((compare, tuple(waiting)) for compare, waiting in index.compares.items()),
        reads=reads_of(index.compares),
    )


def reads_of(compares: Iterable[Compare]) -> dict[str, list[int]]:
    """For every value, the places of the comparisons that look at it."""
    reads: dict[str, list[int]] = {}
    for place, compare in enumerate(compares):
        for name in compare.names():
            reads.setdefault(name, []).append(place)
    return reads


class _Index:
    """The lists of a rule set while they grow, rule by rule."""

    def __init__(self) -> None:
        self.facts: list[Fact] = []
        self.number: dict[Fact, int] = {}
        self.needs: list[list[int]] = []
        self.bars: list[list[int]] = []
        self.givers: list[list[int]] = []
        self.gives: list[list[int]] = []
        self.unmet = array("i")
        self.compares: dict[Compare, list[int]] = {}

    def add(self, rule: FactRule) -> None:
        place = len(self.gives)
        unmet = 0
        for condition in rule.when:
            if isinstance(condition, Has):
                self.needs[self._fact(condition.fact)].append(place)
            elif isinstance(condition, Lacks):
                self.bars[self._fact(condition.fact)].append(place)
                continue
            else:
                self._compare(condition).append(place)
            unmet += 1
        given = [self._fact(fact) for fact in dict.fromkeys(rule.then)]
        for number in given:
            self.givers[number].append(place)
        self.gives.append(given)
        self.unmet.append(unmet)

    def _fact(self, fact: Fact) -> int:
        number = self.number.get(fact)
        if number is None:
            number = self.number[fact] = len(self.facts)
            self.facts.append(fact)
            self.needs.append([])
            self.bars.append([])
            self.givers.append([])
        return number

    def _compare(self, compare: Compare) -> list[int]:
        return self.compares.setdefault(compare, [])
