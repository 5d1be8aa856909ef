"""Explanations in words. The records of `explain` come first; these only read them out, one sentence a line.

`say` turns a fact into words; whoever knows what the facts mean gives a better one than the plain joining here.
"""

from __future__ import annotations

from collections.abc import Callable

from coldiron.engine.explain import Changes, Loss, Obstacle, Proof, ProofStep
from coldiron.engine.facts import Compare, Fact, Has, Lacks
from coldiron.engine.loop import Support

Say = Callable[[Fact], str]


def plain(fact: Fact) -> str:
    """The words of a fact, joined."""
    return " ".join(fact)


def say_compare(compare: Compare) -> str:
    """A comparison in words."""
    right = compare.right if isinstance(compare.right, str) else f"{compare.right:g}"
    margin = f" by more than {compare.margin:g}" if compare.margin else ""
    return f"{compare.left} is {'not ' * compare.negated}{compare.relation} {right}{margin}"


def say_step(step: ProofStep, say: Say = plain) -> str:
    """One step of a proof, or one fact gained."""
    if step.support is None:
        return f"{say(step.fact)}: given."
    return f"{say(step.fact)}: by {step.support.rule}{_because(step.support, say)}."


def _because(support: Support, say: Say) -> str:
    parts = [say(fact) for fact in support.has]
    parts += [f"no {say(fact)}" for fact in support.lacks]
    parts += [say_compare(compare) for compare in support.compares]
    return f", from {' and '.join(parts)}" if parts else ", always"


def say_proof(proof: Proof, say: Say = plain) -> tuple[str, ...]:
    """A proof: first what was given, last the fact itself."""
    return tuple(say_step(step, say) for step in proof.steps)


def say_obstacle(obstacle: Obstacle, say: Say = plain) -> str:
    """Why one rule does not fire."""
    condition = obstacle.condition
    if isinstance(condition, Has):
        reason = f"{say(condition.fact)} does not hold"
    elif isinstance(condition, Lacks):
        reason = f"{say(condition.fact)} holds"
    elif obstacle.what == "unknown":
        reason = f"it is not known whether {say_compare(condition)}"
    else:
        reason = f"it is not so that {say_compare(condition)}"
    return f"{obstacle.rule} does not apply: {reason}."


def say_loss(loss: Loss, say: Say = plain) -> str:
    """Why a fact no longer holds."""
    if loss.support is None:
        return f"{say(loss.fact)}: withdrawn."
    if loss.obstacle is None:
        return f"{say(loss.fact)}: no longer, for {loss.support.rule} is no longer a rule for it."
    return f"{say(loss.fact)}: no longer, for {say_obstacle(loss.obstacle, say)}"


def say_changes(changed: Changes, say: Say = plain) -> tuple[str, ...]:
    """What changed: first what is lost, then what is gained."""
    lost = [say_loss(loss, say) for loss in changed.lost]
    return (*lost, *(f"now {say_step(step, say)}" for step in changed.gained))
