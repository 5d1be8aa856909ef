"""Facts, conclusions and the rules behind them as a mechanic reads them: no ids, the rule by its reason."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.checks import ODD
from coldiron.book.rules import Rule
from coldiron.engine import Fact, Has, Lacks, Loss, Proof, ProofStep
from coldiron.job.state import State
from coldiron.questions.check import finding_in_words

LISTED = 3
"""Most things named where one reason holds for several; the rest are counted."""

OPENINGS = {
    "taken": "done",
    "allow": "worth doing",
    "forbid": "do not do this",
    "require": "to be done before a part is condemned",
}
"""Words before the name of a check, by conclusion."""


def in_words(state: State, fact: Fact) -> str:
    """A fact or a conclusion."""
    book = state.book
    kind, name = fact[0], fact[1] if len(fact) > 1 else ""
    if kind == "fact" and name in book.facts:
        return book.facts[name].name
    if kind == "finding" and name in book.checks:
        return f"{book.checks[name].ask}: {_finding(state, name, fact[2])}"
    if kind in OPENINGS and name in book.checks:
        return f"{OPENINGS[kind]}: {book.checks[name].ask}"
    if kind == "warn" and name in book.cautions:
        return f"caution: {book.cautions[name].hazard}"
    if kind == "repaired" and name in book.faults:
        return f"{book.faults[name].name}, fixed"
    if kind == "complaint" and name in book.complaints:
        return book.complaints[name].name
    if kind == "talks":
        return "a controller talks"
    if kind == "code" and name in book.codes:
        return f"trouble code, {book.codes[name].name}: {book.codes[name].says}".removesuffix(".")
    if kind == "history" and name in book.questions:
        told = next((answer.meaning for answer in book.questions[name].answers if answer.id == fact[2]), fact[2])
        return told or fact[2]
    return " ".join(fact).replace("_", " ")


def _finding(state: State, check: str, finding: str) -> str:
    record = state.book.checks[check]
    known = next((f for f in record.findings if f.id == finding), None)
    if known is None:
        return "in no known range" if finding == ODD else finding.replace("_", " ")
    words = finding_in_words(state, record, known)
    return f"{known.id.replace('_', ' ')} ({words})" if words and words != known.meaning else words


def say_losses(state: State, losses: Iterable[Loss]) -> list[str]:
    """Sentences on conclusions that no longer hold: one for all with the same cause."""
    return _grouped(state, [(loss.fact, _fallen_with(state, loss)) for loss in losses], "No longer so")


def _fallen_with(state: State, loss: Loss) -> str:
    condition = loss.obstacle.condition if loss.obstacle else None
    if isinstance(condition, Has):
        return f"It rested on this: {in_words(state, condition.fact)}."
    if isinstance(condition, Lacks):
        return f"Now against it: {in_words(state, condition.fact)}."
    return "Those readings have changed." if condition else ""


def say_gains(state: State, steps: Iterable[ProofStep]) -> list[str]:
    """Sentences on new conclusions with their reasons: one for all from the same rule."""
    rules = [(step.fact, _rule(state, step)) for step in steps]
    return _grouped(state, [(fact, rule.because if rule else "") for fact, rule in rules], "Now")


def _grouped(state: State, facts: Iterable[tuple[Fact, str]], opening: str) -> list[str]:
    """One sentence for all facts of a kind with the same reason."""
    groups: dict[tuple[str, str], list[str]] = {}
    for fact, reason in facts:
        words = in_words(state, fact)
        kind = OPENINGS.get(fact[0], "")
        groups.setdefault((kind, reason), []).append(words.removeprefix(f"{kind}: ") if kind else words)
    return [
        f"{opening}{f' {kind}' if kind else ''}: {_listed(words)}.{f' {reason}' if reason else ''}"
        for (kind, reason), words in groups.items()
    ]


def _listed(words: list[str]) -> str:
    more = f"; and {len(words) - LISTED} more" if len(words) > LISTED else ""
    return "; ".join(words[:LISTED]) + more


def say_proof(state: State, proof: Proof, *, more: bool = False) -> tuple[str, ...]:
    """Why a fact holds, from the facts given to the fact itself; with `more` each rule and its source."""
    return tuple(_say_step(state, step, more=more) for step in proof.steps)


def _say_step(state: State, step: ProofStep, *, more: bool) -> str:
    words = in_words(state, step.fact)
    rule = _rule(state, step)
    if rule is None:
        return f"{words}: you said or read that." if step.support is None else f"{words}."
    return f"{words}: {rule.because}" + (f" (rule {rule.id}, {rule.source})" if more else "")


def _rule(state: State, step: ProofStep) -> Rule | None:
    """The rule of the book that concluded a fact; a fact that the engine writes for itself has none."""
    return state.book.rules.get(step.support.rule.partition("@")[0]) if step.support else None
