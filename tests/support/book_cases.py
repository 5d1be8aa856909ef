"""Runs the cases of a book: a log is made of what a case gives, and what follows is held against what it expects."""

from __future__ import annotations

import copy
from collections.abc import Iterable
from dataclasses import dataclass, replace

from coldiron.agenda.proving import failed_proofs, open_proofs
from coldiron.agenda.repairing import holding
from coldiron.book.book import Book
from coldiron.book.cases import (
    Case,
    Expect,
    ExpectsAmong,
    ExpectsFirst,
    ExpectsHeld,
    ExpectsNext,
    ExpectsNot,
    ExpectsTold,
    ExpectsWarned,
)
from coldiron.book.history import COMPLAINT
from coldiron.book.rules import Rule
from coldiron.consult.session import Consultation
from coldiron.job.cautions import before_check, before_repair
from coldiron.job.steps import AnswerStep, ReadingStep, RepairStep, Step
from coldiron.job.warned import warned_by_answers
from coldiron.judging.composing import setup_of
from coldiron.judging.judgement import Judgement
from coldiron.judging.setup import Setup
from coldiron.ruling.grounding import ground

SMALL = 0.05
"""A fault of which the odds are not above this is `not` suspected."""

LEADING = 3
"""How many suspects `among` looks at."""


@dataclass(frozen=True)
class Outcome:
    """What a consultation comes to at the end of a case, as far as a case or a rule can change it."""

    suspects: tuple[tuple[str, float], ...]
    next_check: str
    warned: frozenset[str]
    held: frozenset[str]
    verdict: frozenset[str]
    advice: tuple[str, ...]

    def counts(self) -> tuple[object, ...]:
        """What a rule must change to count: a question, a caution or a verdict."""
        leading = self.suspects[0][0] if self.suspects else ""
        return self.next_check, self.warned, self.held, self.verdict, leading


def consultation(book: Book, case: Case) -> Consultation:
    """The consultation after everything a case gives."""
    steps: list[Step] = [AnswerStep(asked.id, "none") for asked in book.questions.values() if asked.stage == "safety"]
    steps += [AnswerStep(COMPLAINT, case.complaint), AnswerStep("circuit", case.circuit)]
    steps += [AnswerStep("kit", "all")]
    for epoch in range(len(case.repaired) + 1):
        given = [item for item in case.given if item.epoch == epoch]
        steps += [(ReadingStep if item.id in book.checks else AnswerStep)(item.id, item.value) for item in given]
        if epoch < len(case.repaired):
            steps.append(RepairStep(str(case.repaired[epoch]), "done"))
    return Consultation(book, steps)


def not_understood(book: Book, case: Case) -> list[str]:
    """Ids of the readings of a case that are no finding of their check on its machine."""
    done = consultation(book, case)
    taken = {name: item for epoch in done.state.epochs for name, item in epoch.taken.items()}
    setup = setup_of(book, case.circuit)
    given = [item.id for item in case.given if item.id in book.checks]
    return [name for name in given if not setup.can_make(name) or not taken[name].understood.finding]


def outcome(book: Book, case: Case) -> Outcome:
    """What the book makes of a case."""
    judged = consultation(book, case).judged
    if judged is None:
        raise ValueError(f"case {case.id} leaves an opening question open")
    return _read(judged)


def outcome_without(book: Book, case: Case, rules: Iterable[str]) -> Outcome:
    """What the book would make of a case with some of its rules taken out."""
    gone = set(rules)
    return outcome_by(book, case, {name: rule for name, rule in book.rules.items() if name not in gone})


def outcome_by(book: Book, case: Case, rules: dict[str, Rule]) -> Outcome:
    """What the book would make of a case with other rules."""
    lesser = replace(book, rules=rules)
    full: Setup = setup_of(book, case.circuit)
    bare = copy.copy(full)
    bare.grounding = ground(replace(full.machine, book=lesser))
    return _read(Judgement(consultation(book, case).state, bare))


def fired(book: Book, case: Case) -> tuple[str, ...]:
    """Ids of the rules that bring something about in a case, sorted."""
    judged = consultation(book, case).judged
    if judged is None:
        return ()
    return tuple(sorted({rule for rules in judged.directives.because.values() for rule in rules}))


def _read(judged: Judgement) -> Outcome:
    book, directives = judged.state.book, judged.directives
    chosen = _next_check(judged)
    suspects = judged.belief.suspects
    warned = {*directives.warned, *warned_by_answers(book, judged.state)}
    if chosen:
        warned |= set(before_check(book, book.checks[chosen], judged.state.settings))
    verdict = judged.decision.verdict.faults if judged.decision.verdict else ()
    warned.update(*(before_repair(book, fault) for fault in verdict))
    advice = tuple(item.text for item in directives.advice)
    return Outcome(suspects, chosen, frozenset(warned), frozenset(judged.held), frozenset(verdict), advice)


def _next_check(judged: Judgement) -> str:
    """The check that is asked next, history left aside; empty if a repair comes next or nothing tells anything.

    After a repair that is its proof: what the machine does now.
    """
    decision = judged.decision
    if judged.state.epochs[:-1] and decision.verdict is None and not failed_proofs(judged):
        for proof in open_proofs(judged):
            return proof.id
    if decision.why == "held":
        return holding(judged).id
    if decision.verdict is not None or judged.choice is None:
        return ""
    return judged.choice.check


def shortfall(book: Book, case: Case, expect: Expect, found: Outcome) -> str:
    """Empty if an expectation is met, else what came instead."""
    leading = ", ".join(f"{fault} {chance:.0%}" for fault, chance in found.suspects[:5])
    if isinstance(expect, ExpectsNext):
        return "" if found.next_check == expect.check else f"next is {found.next_check}; {leading}"
    if isinstance(expect, ExpectsWarned):
        return "" if expect.caution in found.warned else f"warned of {', '.join(sorted(found.warned))}"
    if isinstance(expect, ExpectsTold):
        return "" if any(expect.text in text for text in found.advice) else f"told: {' / '.join(found.advice)}"
    return _of_faults(book, case, expect, found, leading)


def _of_faults(
    book: Book,
    case: Case,
    expect: ExpectsFirst | ExpectsAmong | ExpectsNot | ExpectsHeld,
    found: Outcome,
    leading: str,
) -> str:
    ref = expect.faults
    named = set(setup_of(book, case.circuit).grounding.named(ref))
    if not named:
        return f"the machine has no fault {ref}"
    if isinstance(expect, ExpectsHeld):
        open_ones = {fault for fault, chance in found.suspects if fault in named and chance >= SMALL / 10}
        return "" if (open_ones or named) <= found.held else f"not held: {', '.join(sorted(open_ones - found.held))}"
    if isinstance(expect, ExpectsNot):
        chance = sum(part for fault, part in found.suspects if fault in named)
        return "" if chance <= SMALL else f"{ref} has {chance:.0%}; {leading}"
    among = 1 if isinstance(expect, ExpectsFirst) else LEADING
    return "" if any(fault in named for fault, _ in found.suspects[:among]) else leading
