"""The loop: forward chaining to a fixpoint with one counter of unmet conditions per rule.

The counters are those of Dowling and Gallier ("Linear-time algorithms for testing the satisfiability of propositional
Horn formulae", 1984): a fact that comes to hold lowers the counter of every rule that waits for it, and a rule whose
counter reaches zero fires. The work is proportional to the facts that hold and the rules that mention them.

Where a rule that had fired must not have fired, what it gave is taken back with all that rests on it, and what other
rules still give comes again: the deletion and rederivation of Gupta, Mumick and Subrahmanian ("Maintaining views
incrementally", 1993), stratum by stratum. So facts that only support each other go, which counting back alone would
leave standing, and the work is proportional to what is taken back.
"""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count

from coldiron.engine.facts import Compare, Fact, Has, Lacks
from coldiron.engine.listeners import Firing, Listener
from coldiron.engine.ruleset import RuleSet


class Memory:
    """The state of one run: which facts hold, how many conditions each rule waits for.

    By stratum, until its turn comes: `ready` are rules whose last condition was met, `lost` rules that had all of them
    met and no longer do, `gone` facts that were dropped and may be given by another rule.
    """

    __slots__ = ("gone", "holds", "lost", "ready", "rules", "unmet")

    def __init__(self, rules: RuleSet, holds: bytearray, unmet: array[int]) -> None:
        self.rules = rules
        self.holds = holds
        self.unmet = unmet
        self.ready: defaultdict[int, list[int]] = defaultdict(list)
        self.lost: defaultdict[int, list[int]] = defaultdict(list)
        self.gone: defaultdict[int, list[int]] = defaultdict(list)

    def add(self, fact: int) -> None:
        """Let a fact hold that did not."""
        self.holds[fact] = 1
        self._meet(self.rules.needs[fact])
        self._miss(self.rules.bars[fact])

    def drop(self, fact: int) -> None:
        """Let a fact no longer hold, until the stratum in which all that could give it is settled."""
        self.holds[fact] = 0
        self._miss(self.rules.needs[fact])
        self._meet(self.rules.bars[fact])
        givers = self.rules.givers[fact]
        if givers:
            self.gone[max(self.rules.level[rule] for rule in givers)].append(fact)

    def tell(self, facts: Iterable[Fact]) -> None:
        """Add what is given. Facts that no rule mentions change nothing."""
        number = self.rules.number
        for fact in facts:
            known = number.get(fact)
            if known is not None and not self.holds[known]:
                self.add(known)

    def withdraw(self, facts: Iterable[Fact]) -> None:
        """Drop what is no longer given."""
        number = self.rules.number
        for fact in facts:
            known = number.get(fact)
            if known is not None:
                self.drop(known)

    def read(self, before: Mapping[str, float], after: Mapping[str, float], changed: Iterable[str]) -> None:
        """Decide the comparisons that look at a changed value."""
        for place in {place for name in changed for place in self.rules.reads.get(name, ())}:
            compare, rules = self.rules.compares[place]
            held, holds = compare.holds(before) is True, compare.holds(after) is True
            if holds and not held:
                self._meet(rules)
            elif held and not holds:
                self._miss(rules)

    def _meet(self, waiting: Iterable[int]) -> None:
        """Count one condition as met for each of some rules; those that wait for nothing more are ready."""
        unmet = self.unmet
        for rule in waiting:
            left = unmet[rule] = unmet[rule] - 1
            if not left:
                self.ready[self.rules.level[rule]].append(rule)

    def _miss(self, counting: Iterable[int]) -> None:
        """Count one condition as unmet for each of some rules; those that waited for nothing are lost."""
        unmet = self.unmet
        for rule in counting:
            if not unmet[rule]:
                self.lost[self.rules.level[rule]].append(rule)
            unmet[rule] += 1


def waves(memory: Memory, level: int) -> Iterator[dict[int, int]]:
    """Derive everything in one stratum, wave by wave: each wave is fact -> the rule that gives it, the first by id.

    A fact is in the earliest wave it can be in, so the rule named for it rests on facts of earlier waves only.
    """
    rules = memory.rules
    while level in memory.ready:
        firing = sorted(rule for rule in memory.ready.pop(level) if not memory.unmet[rule])
        wave: dict[int, int] = {}
        for rule in firing:
            for fact in rules.gives[rule]:
                if not memory.holds[fact]:
                    wave.setdefault(fact, rule)
        for fact in wave:
            memory.add(fact)
        yield wave


def take_back(memory: Memory, level: int, given: frozenset[Fact]) -> None:
    """Drop what the lost rules of a stratum gave and all that rests on it; then let stand what is given otherwise.

    Nothing is let stand before everything doubtful is dropped, so no two facts keep each other up.
    """
    rules, lost = memory.rules, memory.lost[level]
    while lost:
        rule = lost.pop()
        if memory.unmet[rule]:
            for fact in rules.gives[rule]:
                if memory.holds[fact] and rules.facts[fact] not in given:
                    memory.drop(fact)
    for fact in memory.gone[level]:
        if not memory.holds[fact] and not all(memory.unmet[rule] for rule in rules.givers[fact]):
            memory.add(fact)


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
    memory.read({}, readings, readings)
    giver: dict[int, int] = {}
    numbers = count(1)
    for level in range(rules.levels):
        for wave, number in zip(waves(memory, level), numbers):  # noqa: B905 - the numbers do not end
            giver.update(wave)
            for listener in listeners:
                listener.on_wave(
                    tuple(Firing(rules.rules[rule].id, rules.facts[fact], number) for fact, rule in wave.items())
                )
    return Result(rules, given, readings, memory.holds, memory.unmet, giver)


def extend(result: Result, facts: Iterable[Fact] = (), values: Mapping[str, float] | None = None) -> Result:
    """What `run` would give with more facts and values, working on from a result, which stays as it is.

    A value that is there already is changed. Where the addition takes something back (a changed value, a fact whose
    absence a rule had counted on), so does this.
    """
    come = [fact for fact in facts if fact not in result.given]
    changed = values or {}
    return _moved(result, result.given.union(come), {**result.values, **changed}, come=come, changed=changed)


def withdraw(result: Result, facts: Iterable[Fact] = (), values: Iterable[str] = ()) -> Result:
    """What `run` would give without some of the given facts and values, working on from a result, which stays as it is.

    What was never given is passed over.
    """
    left = result.given.intersection(facts)
    names = set(values)
    readings = {name: value for name, value in result.values.items() if name not in names}
    return _moved(result, result.given - left, readings, left=left, changed=names)


def _moved(
    result: Result,
    given: frozenset[Fact],
    readings: Mapping[str, float],
    *,
    come: Iterable[Fact] = (),
    left: Iterable[Fact] = (),
    changed: Iterable[str],
) -> Result:
    """The result for what is given now, from what has come, what has left and the values that changed."""
    memory = Memory(result.rules, result.holds_by_number[:], result.unmet[:])
    memory.tell(come)
    memory.withdraw(left)
    memory.read(result.values, readings, changed)
    for level in range(result.rules.levels):
        if level in memory.lost or level in memory.gone:
            take_back(memory, level, given)
        if level in memory.ready:
            for _ in waves(memory, level):
                pass
    return Result(result.rules, given, readings, memory.holds, memory.unmet, None)
