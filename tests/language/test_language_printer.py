"""The printer: what it prints reads as what it was printed from."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.cases import Case
from coldiron.book.rules import Rule
from coldiron.book.source import NOWHERE, Place
from coldiron.language.files import rule_files, shipped
from coldiron.language.printer import print_tree
from coldiron.language.read import read
from coldiron.language.record_text import as_text, case_text, rule_text
from coldiron.language.tree import Remark, Statement, Tree
from coldiron.mistakes import CATALOGUE
from support.rule_strategies import RULES, cases
from support.rule_text import GROUND, on_ground, unmark

SHIPPED = {file.shown: file.data for file in rule_files(shipped())[0]} | {"ground": GROUND.read_bytes()}


def meaning(tree: Tree) -> list[object]:
    """Return a tree without columns and line numbers: words, comments and depths in order."""
    lines: list[object] = []
    for line in tree.lines:
        if isinstance(line, Statement):
            phrases = [(phrase.form, [" ".join(word.text.split()) for word in phrase.words]) for phrase in line.phrases]
            lines.append((line.keyword.text, phrases, line.depth, line.comment))
        elif isinstance(line, Remark) and line.text:
            lines.append((line.text, line.depth))
    return lines


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_print_read_print_is_stable_and_keeps_everything(name: str) -> None:
    """For every shipped file: same words, same comments, and the second print is the first."""
    tree, _ = read(name, SHIPPED[name])
    once = print_tree(tree)
    again, problems = read(name, once.encode())
    assert problems == ()
    assert meaning(again) == meaning(tree)
    assert print_tree(again) == once


@pytest.mark.parametrize("kind", sorted(CATALOGUE))
def test_a_line_that_cannot_be_read_is_printed_as_it_stands(kind: str) -> None:
    """Examples of mistakes go through the printer without losing a line; printing again changes nothing more."""
    text = unmark(CATALOGUE[kind].example, "a.rules")[0]
    if kind in ("not-utf8", "file-too-long", "too-many-lines", "too-many"):
        return
    once = print_tree(read("a.rules", text.encode())[0])
    assert once.split() == text.replace(",", ", ").replace(" ,", ",").split() or kind == "decimal-comma"
    assert print_tree(read("a.rules", once.encode())[0]) == once


@given(st.lists(st.sampled_from(sorted({line for data in SHIPPED.values() for line in data.decode().split("\n")}))))
def test_any_mixture_of_lines_prints_the_same_twice(lines: list[str]) -> None:
    """Lines of the shipped book in any order: broken, misplaced, or right."""
    once = print_tree(read("a.rules", "\n".join(lines).encode())[0])
    assert print_tree(read("a.rules", once.encode())[0]) == once


def unplaced(value: Any) -> Any:
    """Return a record with every place replaced by nowhere."""
    if isinstance(value, Place):
        return NOWHERE
    if isinstance(value, tuple):
        return tuple(unplaced(one) for one in value)
    if hasattr(value, "__record__"):
        return type(value)(*(unplaced(getattr(value, name)) for name, _, _ in value.__record__))
    return value


@given(RULES)
def test_a_printed_rule_reads_as_the_rule(rule: Rule) -> None:
    """Whatever a program drafts comes back as it was, places aside."""
    book, problems = on_ground(rule_text(rule, {"rest_volts": "V", "key_feed_volts": "V"}))
    assert problems == ()
    assert unplaced(book.rules[rule.id]) == rule


@given(RULES)
def test_a_rule_printed_without_units_reads_as_the_rule_too(rule: Rule) -> None:
    """Units behind figures are for the eye."""
    assert unplaced(on_ground(rule_text(rule))[0].rules[rule.id]) == rule


@given(cases())
def test_a_printed_case_reads_as_the_case(case: Case) -> None:
    """Answers stay in their epochs."""
    book, problems = on_ground(case_text(case))
    assert problems == ()
    assert unplaced(book.cases[case.id]) == case


@given(st.text())
def test_a_text_made_fit_for_a_rule_file_stays_as_it_is(text: str) -> None:
    """Making it fit twice changes nothing more."""
    assert as_text(as_text(text)) == as_text(text)
