"""Answers of an owner that move nothing on any machine, whatever it does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coldiron.book.history import COMPLAINT, Answer, Ask
from coldiron.book.problem import Problem
from coldiron.inference.table import BookTable
from coldiron.proving.yard import SolvedMachine, Yard
from coldiron.ruling.instances import Naming

LEAST = 0.02
"""An answer moves something if it changes the odds of any suspect by so much: what a person sees on the page."""

Odds = Mapping[str, float]


def told(yard: Yard) -> tuple[Problem, ...]:
    """Report each answer that shifts odds, and yet moves no suspect of any machine that does any of the complaints."""
    answers = [
        (asked, answer)
        for asked in yard.book.questions.values()
        for answer in asked.answers
        if answer.shifts and not answer.warns
    ]
    most = dict.fromkeys(((asked.id, answer.id) for asked, answer in answers), 0.0)
    for solved in yard.machines:
        naming = Naming(solved.machine)
        for odds in _suspects(solved):
            for asked, answer in answers:
                known = most[asked.id, answer.id]
                most[asked.id, answer.id] = max(known, _moved(odds, answer, naming)) if known < LEAST else known
    found = ((asked, answer, most[asked.id, answer.id]) for asked, answer in answers)
    return tuple(_problem(*one) for one in found if one[2] < LEAST)


def _suspects(solved: SolvedMachine) -> Iterator[Odds]:
    """The odds of the single faults of a machine, after each complaint that can be told of it."""
    table = BookTable(solved.machine, solved.predictor)
    rows = {fault: table.chances(COMPLAINT, frozenset((fault,))) for fault in solved.machine.faults}
    for place, _ in enumerate(solved.machine.book.complaints):
        odds = {fault: solved.machine.odds[fault] * row[place] for fault, row in rows.items()}
        total = sum(odds.values())
        yield {fault: share / total for fault, share in odds.items()}


def _moved(odds: Odds, answer: Answer, naming: Naming) -> float:
    """How far an answer moves the odds of any suspect at the most."""
    shifted = dict(odds)
    for shift in answer.shifts:
        for fault in naming.named(shift.faults):
            if fault in odds:
                shifted[fault] = odds[fault] * shift.factor
    total = sum(shifted.values())
    return max(abs(share / total - odds[fault]) for fault, share in shifted.items())


def _problem(asked: Ask, answer: Answer, most: float) -> Problem:
    said = (
        f"'{answer.id}' to '{asked.id}' moves no suspect of any machine by more than {100 * most:.1f} in 100: give it "
        "its weight, or leave it out"
    )
    return Problem("answer-idle", answer.place, said)
