"""The catalogue of mistakes: each example gives its sentence, at its place, and nothing else."""

from __future__ import annotations

import pytest

from coldiron.mistakes import CATALOGUE, FORM, MEANING, Mistake
from support.rule_text import on_ground, unmark


def test_the_ground_of_the_examples_is_sound() -> None:
    """Without an example, there is no problem."""
    assert on_ground("")[1] == ()


@pytest.mark.parametrize("entry", [*FORM, *MEANING], ids=lambda entry: entry.kind)
def test_each_example_gives_its_problem_alone_at_its_place(entry: Mistake) -> None:
    """Kind, place, sentence and suggestion are as the catalogue says."""
    text, place = unmark(entry.example, "text_2.rules")

    problems = on_ground(text)[1]

    mine = problems if entry.alone else [problem for problem in problems if problem.kind == entry.kind]
    assert [(entry.kind, entry.says)] == [(problem.kind, problem.sentence) for problem in mine]
    assert place == mine[0].place
    assert entry.meant == mine[0].nearest


def test_the_catalogue_has_at_least_forty_kinds_each_once() -> None:
    """No kind is listed twice."""
    assert len(CATALOGUE) >= 40
    assert len(CATALOGUE) == len({entry.kind for entry in CATALOGUE.values()})
