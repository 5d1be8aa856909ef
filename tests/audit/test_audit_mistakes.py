"""The audit: each example of the catalogue gives its problem of the whole book, at its place, and nothing else."""

from __future__ import annotations

import pytest

from coldiron.audit import AUDITS, audit
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.mistakes import WHOLE, Mistake
from support.rule_text import GROUND, load_texts, unmark


def judged(entry: Mistake) -> tuple[tuple[Problem, ...], Place]:
    """Return what the audit says of an example, and the place marked in it."""
    ground = GROUND.read_text(encoding="utf-8")
    for old, new in entry.edits:
        assert old in ground
        ground = ground.replace(old, new, 1)
    name = "text_1.rules" if "«" in ground else "text_2.rules"
    (one, _), (two, place) = unmark(ground, "text_1.rules"), unmark(entry.example, "text_2.rules")
    if name == "text_1.rules":
        place = unmark(ground, name)[1]
    book, problems = load_texts(one, two)
    assert problems == ()
    return audit(book), place


def test_a_sound_book_has_no_problems() -> None:
    """The ground of the examples passes every audit."""
    book, problems = load_texts(GROUND.read_bytes())
    assert (*problems, *audit(book)) == ()


@pytest.mark.parametrize("entry", WHOLE, ids=lambda entry: entry.kind)
def test_each_example_of_the_whole_book_gives_its_problem_at_its_place(entry: Mistake) -> None:
    """Kind, weight, sentence and place are as the catalogue says."""
    problems, place = judged(entry)

    mine = problems if entry.alone else [one for one in problems if one.kind == entry.kind][:1]
    assert [(entry.kind, entry.says)] == [(problem.kind, problem.sentence) for problem in mine]
    assert place == mine[0].place
    assert ("warning" if entry.warning else "error") == mine[0].weight


def test_the_audits_are_listed_once_each() -> None:
    """The ordered list has no doubles and gives every kind of the catalogue a maker."""
    assert len(AUDITS) == len({one.__name__ for one in AUDITS})
