"""The loop: forward chaining to a fixpoint with one counter of unmet conditions per rule.

The counters are those of Dowling and Gallier ("Linear-time algorithms for testing the satisfiability of propositional
Horn formulae", 1984): a fact that comes to hold lowers the counter of every rule that waits for it, and a rule whose
counter reaches zero fires. The work is proportional to the facts that hold and the rules that mention them.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coldiron.engine.facts import Compare, Fact, Has, Lacks
from coldiron.engine.listeners import Firing, Listener
from coldiron.engine.ruleset import RuleSet


class Memory:
    """The state of one run: which facts hold, how many conditions each rule waits for, which rules are ready.

    `overtaken` tells that a fact came whose absence a ready rule had counted on.
    """

    __slots__ = ("holds", "overtaken", "ready", "rules", "unmet")

    def __init__(self, rules: RuleSet, holds: bytearray, unmet: array[int]) -> None:
        self.rules = rules
        self.holds = holds
        self.unmet = unmet
        self.ready: list[list[int]] = [[] for _ in range(rules.levels)]
        self.overtaken = False

    def add(self, fact: int) -> None:
        """Let a fact hold that did not."""
        self.holds[fact] = 1
        self._meet(self.rules.needs[fact])
        for rule in self.rules.bars[fact]:
            self.overtaken |= not self.unmet[rule]
            self.unmet[rule] += 1

    def tell(self, facts: Iterable[Fact]) -> None:
        """Add what is given. Facts that no rule mentions change nothing."""
        number = self.rules.number
        for fact in facts:
            known = number.get(fact)
            if known is not None and not self.holds[known]:
                self.add(known)

    def read(self, values: Mapping[str, float], fresh: Iterable[str]) -> None:
        """Decide the comparisons that look at a fresh value."""
        for place in {place for name in fresh for place in self.rules.reads.get(name, ())}:
            compare, rules = self.rules.compares[place]
            if compare.holds(values):
                self._meet(rules)

    def _meet(self, waiting: Iterable[int]) -> None:
        """Count one condition as met for each of some rules; those that wait for nothing more are ready."""
        unmet = self.unmet
        for rule in waiting:
            left = unmet[rule] = unmet[rule] - 1
            if not left:
                self.ready[self.rules.level[rule]].append(rule)


def waves(memory: Memory) -> Iterator[dict[int, int]]:
    """Derive everything, wave by wave: each wave is fact -> the rule that gives it, the first by id.

    A fact is in the earliest wave it can be in, so the rule named for it rests on facts of earlier waves only.
    """
    rules = memory.rules
    for level in range(rules.levels):
        while memory.ready[level]:
            firing = sorted(rule for rule in memory.ready[level] if not memory.unmet[rule])
            memory.ready[level] = []
            wave: dict[int, int] = {}
            for rule in firing:
                for fact in rules.gives[rule]:
                    if not memory.holds[fact]:
                        wave.setdefault(fact, rule)
            for fact in wave:
                memory.add(fact)
            yield wave


@dataclass(frozen=True, slots=True)
class Support:
    """What a derived fact rests on: one rule, the facts it has, those it lacks, the comparisons it made."""

    rule: str
    has: tuple[Fact, ...]
    lacks: tuple[Fact, ...]
    compares: tuple[Compare, ...]


@dataclass(slots=True, eq=False)
class Result:
    """What holds for a rule set, the facts given and the values read. Do not change it; make another with `run`.

    Two results of the same rules, facts and values are alike in everything that can be asked of them.
    """

    rules: RuleSet
    given: frozenset[Fact]
    values: Mapping[str, float]
    holds_by_number: bytearray = field(repr=False)
    unmet: array[int] = field(repr=False)
    giver: dict[int, int] | None = field(repr=False)

    def holds(self, fact: Fact) -> bool:
        """Whether a fact holds."""
        number = self.rules.number.get(fact)
        return fact in self.given or (number is not None and bool(self.holds_by_number[number]))

    @property
    def facts(self) -> frozenset[Fact]:
        """Every fact that holds, given or derived."""
        pairs = zip(self.rules.facts, self.holds_by_number, strict=True)
        return self.given.union(fact for fact, holds in pairs if holds)

    @property
    def fired(self) -> tuple[str, ...]:
        """Ids of the rules whose conditions all hold, sorted."""
        return tuple(rule.id for rule, unmet in zip(self.rules.rules, self.unmet, strict=True) if not unmet)

    def support(self, fact: Fact) -> Support | None:
        """What a derived fact rests on; None for a fact that was given or does not hold.

        Of several ways to derive it the one with the fewest waves is named, of those the first by rule id. No fact
        rests on itself, not even by way of others.
        """
        if fact in self.given or not self.holds(fact):
            return None
        if self.giver is None:
            self.giver = run(self.rules, self.given, self.values).giver or {}
        rule = self.rules.rules[self.giver[self.rules.number[fact]]]
        return Support(
            rule=rule.id,
            has=tuple(condition.fact for condition in rule.when if isinstance(condition, Has)),
            lacks=tuple(condition.fact for condition in rule.when if isinstance(condition, Lacks)),
            compares=tuple(condition for condition in rule.when if isinstance(condition, Compare)),
        )


def run(
    rules: RuleSet,
    facts: Iterable[Fact] = (),
    values: Mapping[str, float] | None = None,
    listeners: Sequence[Listener] = (),
) -> Result:
    """Everything that follows from the facts and the values. The order of rules, facts and values changes nothing."""
    given = frozenset(facts)
    readings = dict(values or {})
    memory = Memory(rules, bytearray(len(rules.facts)), rules.unmet[:])
    for rule in rules.free:
        memory.ready[rules.level[rule]].append(rule)
    memory.tell(given)
    memory.read(readings, readings)
    giver: dict[int, int] = {}
    for number, wave in enumerate(waves(memory), 1):
        giver.update(wave)
        for listener in listeners:
            listener.on_wave(
                tuple(Firing(rules.rules[rule].id, rules.facts[fact], number) for fact, rule in wave.items())
            )
    return Result(rules, given, readings, memory.holds, memory.unmet, giver)


def extend(result: Result, facts: Iterable[Fact] = (), values: Mapping[str, float] | None = None) -> Result:
    """What `run` would give with more facts and values, working on from a result, which stays as it is.

    Where the addition takes something back (a changed value, a fact whose absence a rule had counted on), everything
    is run afresh. To withdraw a fact, run without it: counting back would leave facts that support each other.
    """
    given = result.given.union(facts)
    readings = {**result.values, **(values or {})}
    fresh = [name for name in readings if name not in result.values]
    if any(readings[name] != old for name, old in result.values.items()):
        return run(result.rules, given, readings)
    memory = Memory(result.rules, result.holds_by_number[:], result.unmet[:])
    memory.tell(given - result.given)
    memory.read(readings, fresh)
    for _ in waves(memory):
        if memory.overtaken:
            break
    if memory.overtaken:
        return run(result.rules, given, readings)
    return Result(result.rules, given, readings, memory.holds, memory.unmet, None)
