"""Explanations as records: why a fact holds, why it does not, what changed between two results."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from coldiron.engine.facts import Condition, Fact, FactRule, Has, Lacks
from coldiron.engine.loop import Result, Support

Obstruction = Literal["absent", "present", "unknown", "untrue"]


@dataclass(frozen=True, slots=True)
class ProofStep:
    """One fact of a proof: given, where it has no support, or derived."""

    fact: Fact
    support: Support | None


@dataclass(frozen=True, slots=True)
class Proof:
    """Why a fact holds: a tree of steps written as a list, each fact once and after everything it rests on.

    The last step is the fact itself.
    """

    steps: tuple[ProofStep, ...]

    @property
    def fact(self) -> Fact:
        """The fact proved."""
        return self.steps[-1].fact

    def step(self, fact: Fact) -> ProofStep:
        """The step of a fact in this proof.

        Raises:
            KeyError: the proof does not rest on that fact.
        """
        for step in self.steps:
            if step.fact == fact:
                return step
        raise KeyError(fact)


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The first condition, in the order written, that keeps a rule from firing, and what is wrong with it.

    `absent`: the fact does not hold; `present`: it does, and should not; `unknown`: a value is missing; `untrue`: the
    comparison came out the other way.
    """

    rule: str
    condition: Condition
    what: Obstruction


@dataclass(frozen=True, slots=True)
class Loss:
    """A fact that no longer holds: what it rested on before, and what stops that rule now.

    `support` is None for a fact that was given and is withdrawn; `obstacle` is None then, and where the rule itself is
    no longer in the rule set.
    """

    fact: Fact
    support: Support | None
    obstacle: Obstacle | None


@dataclass(frozen=True, slots=True)
class Changes:
    """What holds after and did not before, with its support, and what held before and no longer does; both sorted."""

    gained: tuple[ProofStep, ...]
    lost: tuple[Loss, ...]


def why(result: Result, fact: Fact) -> Proof | None:
    """The proof of a fact; None if it does not hold."""
    if not result.holds(fact):
        return None
    done: dict[Fact, ProofStep] = {}
    trail = [(fact, _premises(result, fact))]
    while trail:
        current, premises = trail[-1]
        for premise in premises:
            if premise not in done:
                trail.append((premise, _premises(result, premise)))
                break
        else:
            done.setdefault(current, ProofStep(current, result.support(current)))
            trail.pop()
    return Proof(tuple(done.values()))


def _premises(result: Result, fact: Fact) -> Iterator[Fact]:
    support = result.support(fact)
    return iter(support.has if support else ())


def why_not(result: Result, fact: Fact) -> tuple[Obstacle, ...]:
    """For every rule that could give a fact, the first condition it is stopped by, by rule id.

    Empty if the fact holds, and if no rule gives it: then it can only be told.
    """
    number = result.rules.number.get(fact)
    if number is None or result.holds(fact):
        return ()
    rules = (result.rules.rules[place] for place in result.rules.givers[number])
    return tuple(obstacle for rule in rules if (obstacle := obstacle_of(result, rule)) is not None)


def obstacle_of(result: Result, rule: FactRule) -> Obstacle | None:
    """The first condition that keeps a rule from firing; None if all of them hold."""
    for condition in rule.when:
        what = _obstruction(result, condition)
        if what is not None:
            return Obstacle(rule.id, condition, what)
    return None


def _obstruction(result: Result, condition: Condition) -> Obstruction | None:
    if isinstance(condition, Has):
        return None if result.holds(condition.fact) else "absent"
    if isinstance(condition, Lacks):
        return "present" if result.holds(condition.fact) else None
    verdict = condition.holds(result.values)
    if verdict is None:
        return "unknown"
    return None if verdict else "untrue"


def changes(before: Result, after: Result) -> Changes:
    """What changed between two results, which may come from different rule sets."""
    old, new = before.facts, after.facts
    return Changes(
        gained=tuple(ProofStep(fact, after.support(fact)) for fact in sorted(new - old)),
        lost=tuple(_loss(before, after, fact) for fact in sorted(old - new)),
    )


def _loss(before: Result, after: Result, fact: Fact) -> Loss:
    support = before.support(fact)
    number = after.rules.number.get(fact)
    givers = after.rules.givers[number] if number is not None else ()
    same = [after.rules.rules[place] for place in givers if support and after.rules.rules[place].id == support.rule]
    return Loss(fact, support, obstacle_of(after, same[0]) if same else None)
