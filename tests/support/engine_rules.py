"""Random rule sets, and a fixpoint so plain that it can be seen to be right: the measure of the engine."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from hypothesis import strategies as st

from coldiron.engine import Compare, Condition, Fact, FactRule, Has, Lacks

LETTERS = "abcdefgh"
READINGS = ("x", "y", "z")

facts = st.sampled_from([(letter,) for letter in LETTERS])
numbers = st.integers(-3, 3).map(lambda halves: halves / 2)
comparisons = st.builds(
    Compare,
    left=st.sampled_from(READINGS),
    relation=st.sampled_from(["above", "below"]),
    right=st.one_of(st.sampled_from(READINGS), numbers),
    margin=st.sampled_from([0.0, 0.5, 1.0]),
    negated=st.booleans(),
)
conditions = st.one_of(facts.map(Has), facts.map(Has), facts.map(Lacks), comparisons)
given = st.sets(facts, max_size=5)
values = st.dictionaries(st.sampled_from(READINGS), numbers)


@st.composite
def any_rules(draw: st.DrawFn) -> list[FactRule]:
    """Rules without any care for strata."""
    bodies = draw(
        st.lists(st.tuples(st.lists(conditions, max_size=3), st.lists(facts, max_size=2)), min_size=1, max_size=10)
    )
    return [FactRule(f"r{number}", tuple(when), tuple(then)) for number, (when, then) in enumerate(bodies)]


@st.composite
def layered_rules(draw: st.DrawFn) -> list[FactRule]:
    """Rules with strata: each looks for the absence of facts of earlier layers only, and often does."""
    rules = []
    for number in range(draw(st.integers(1, 12))):
        layer = draw(st.integers(0, 3))
        usable = [(letter,) for letter in LETTERS[: 2 * layer + 2]]
        earlier = [(letter,) for letter in LETTERS[: 2 * layer]]
        choices: list[st.SearchStrategy[Condition]] = [st.sampled_from(usable).map(Has), comparisons]
        if earlier:
            choices.append(st.sampled_from(earlier).map(Lacks))
        when = draw(st.lists(st.one_of(choices), max_size=3))
        then = draw(st.lists(st.sampled_from([(letter,) for letter in LETTERS[2 * layer : 2 * layer + 2]]), max_size=2))
        rules.append(FactRule(f"r{number:02}", tuple(when), tuple(then)))
    return rules


def condition_holds(condition: Condition, held: Collection[Fact], readings: Mapping[str, float]) -> bool:
    """A condition by its definition. Exact for the halves that the strategies draw."""
    if isinstance(condition, Has):
        return condition.fact in held
    if isinstance(condition, Lacks):
        return condition.fact not in held
    if condition.left not in readings:
        return False
    right = readings.get(condition.right) if isinstance(condition.right, str) else condition.right
    if right is None:
        return False
    if condition.relation == "above":
        return (readings[condition.left] > right + condition.margin) != condition.negated
    return (readings[condition.left] < right - condition.margin) != condition.negated


def naive_strata(rules: Sequence[FactRule]) -> dict[Fact, int] | None:
    """The stratum of every derived fact, raised until nothing changes; None if it never stops."""
    stratum = {fact: 0 for rule in rules for fact in rule.then}
    changed = True
    while changed:
        changed = False
        for rule in rules:
            needed = naive_level(rule, stratum)
            for fact in rule.then:
                if stratum[fact] < needed:
                    stratum[fact] = needed
                    changed = True
        if max(stratum.values(), default=0) > len(stratum):
            return None
    return stratum


def naive_level(rule: FactRule, stratum: Mapping[Fact, int]) -> int:
    """The stratum in which a rule can run: not before what it has, after what it lacks."""
    level = 0
    for condition in rule.when:
        if isinstance(condition, Has):
            level = max(level, stratum.get(condition.fact, 0))
        elif isinstance(condition, Lacks) and condition.fact in stratum:
            level = max(level, stratum[condition.fact] + 1)
    return level


@dataclass(frozen=True)
class Naive:
    """What the plain fixpoint found: every fact, and for a derived one (stratum, round, rule)."""

    facts: frozenset[Fact]
    first: Mapping[Fact, tuple[int, int, str]]


def naive_fixpoint(rules: Sequence[FactRule], told: Collection[Fact], readings: Mapping[str, float]) -> Naive:
    """Stratum by stratum, try every rule against what the last round held, until a round adds nothing."""
    stratum = naive_strata(rules)
    assert stratum is not None
    held = set(told)
    first: dict[Fact, tuple[int, int, str]] = {}
    for level in range(max(stratum.values(), default=0) + 1):
        due = [rule for rule in sorted(rules, key=lambda rule: rule.id) if naive_level(rule, stratum) == level]
        number = 0
        while True:
            number += 1
            found: dict[Fact, tuple[int, int, str]] = {}
            for rule in due:
                if all(condition_holds(condition, held, readings) for condition in rule.when):
                    for fact in set(rule.then) - held:
                        found.setdefault(fact, (level, number, rule.id))
            if not found:
                break
            first.update(found)
            held.update(found)
    return Naive(frozenset(held), first)
