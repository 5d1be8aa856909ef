"""The table of forms: whatever it allows can be read, printed and read again; a beginning is told what may follow."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.language import forms, notation
from coldiron.language.forms import BLOCKS, FORMS, LINES
from coldiron.language.hints import Failure, going_on
from coldiron.language.notation import Choice, Kept, Many, Maybe, Named, Node, OneOf, Row, Slot, Small
from coldiron.language.printer import label, rest_text
from coldiron.language.read import parse_line
from coldiron.language.sorts import RESERVED, SORTS
from coldiron.language.tree import Phrase, Statement
from support.sizes import size

PLACES = [(block, keyword) for block, lines in LINES.items() for keyword in lines]

SAMPLES = {
    "ID": ["fuse", "a_1", "x"],
    "FINDING": ["dead", "odd"],
    "ANSWER": ["yes", "somebody"],
    "VALUE": ["off", "2nd"],
    "VARIABLE": ["W", "W_2"],
    "PART": ["fuse", "W"],
    "POINT": ["frame", "fuse.feed", "W.out"],
    "CHECK": ["rest_volts", "look_at.fuse", "look_at.W"],
    "FAULTS": ["fuse", "fuse.blown", "any fuse", "any fuse.blown", "W.blown"],
    "FAULT": ["fuse.blown"],
    "OWNER": ["fuse", "any fuse"],
    "NUMBER": ["0", "-1.5", "12"],
    "WHOLE": ["7", "168"],
    "UNIT": ["V", "ohms", "ohm"],
    "TEXT": ["Look, and listen.", "x"],
}
"""Words of each sort."""


@cache
def lines(node: Node) -> st.SearchStrategy[list[str]]:
    """The words of any line that a node allows."""
    match node:
        case Small(text=text):
            return st.just([text])
        case Slot(sort=sort):
            return st.sampled_from(SAMPLES[sort]).map(lambda word: [word])
        case OneOf(words=words):
            return st.sampled_from(words).map(lambda word: [word])
        case Kept(part=part) | Named(part=part):
            return lines(part)
        case Maybe(part=part):
            return st.one_of(st.just([]), lines(part))
        case Many(part=part):
            return st.lists(lines(part), max_size=3).map(joined)
        case Choice(options=options):
            return st.one_of(*map(lines, options))
        case Row(parts=parts):
            return st.tuples(*map(lines, parts)).map(joined)


MOST = size(10, 50, 200)
"""How many lines are drawn for each keyword of each block."""


def joined(parts: Iterable[list[str]]) -> list[str]:
    return [word for part in parts for word in part]


def words(phrases: tuple[Phrase, ...]) -> list[tuple[str, list[str]]]:
    return [(phrase.form, [" ".join(word.text.split()) for word in phrase.words]) for phrase in phrases]


@pytest.mark.parametrize(("block", "keyword"), PLACES)
@settings(max_examples=MOST)
@given(st.data())
def test_whatever_the_table_allows_is_read_and_prints_as_it_was_read(
    block: str, keyword: str, data: st.DataObject
) -> None:
    """Every way to fill every line gives the same phrases when it is printed and read again."""
    code = " ".join([keyword, *data.draw(lines(forms.node(block, keyword)))])
    found = parse_line(block, keyword, code)
    assert not isinstance(found, Failure), (code, found)
    printed = f"{label(block, keyword)} {rest_text(block, Statement(*found, 1, 1))}".rstrip()
    again = parse_line(block, keyword, printed)
    assert not isinstance(again, Failure), printed
    assert words(again[1]) == words(found[1])


@pytest.mark.parametrize(("block", "keyword"), PLACES)
@settings(max_examples=MOST)
@given(st.data())
def test_a_line_that_goes_on_with_a_word_it_was_told_is_no_mistake_there(
    block: str, keyword: str, data: st.DataObject
) -> None:
    """The next word of a line is among what may follow its beginning, if it is a word of the language."""
    node = forms.node(block, keyword)
    filled = data.draw(lines(node))
    at = data.draw(st.integers(0, len(filled)))
    allowed = going_on(node, keyword, " ".join([keyword, *filled[:at]]))
    texts = {word for sample in SAMPLES.values() for word in sample}
    if at < len(filled) and filled[at] not in texts and "TEXT" not in _sorts(node):
        assert filled[at].removesuffix("s") in {word.removesuffix("s") for word in allowed}


def _sorts(node: Node) -> set[str]:
    match node:
        case Slot(sort=sort):
            return {sort}
        case Kept(part=part) | Named(part=part) | Maybe(part=part) | Many(part=part):
            return _sorts(part)
        case Choice(options=several) | Row(parts=several):
            return {sort for one in several for sort in _sorts(one)}
    return set()


def test_every_sort_has_samples_and_is_used() -> None:
    used = {sort for block, keyword in PLACES for sort in _sorts(forms.node(block, keyword))}
    assert used == set(SORTS) == set(SAMPLES)


def test_every_example_of_the_table_is_read() -> None:
    """Each line of the table in its block."""
    for block in BLOCKS:
        for line in block.lines:
            assert not isinstance(parse_line(block.opener, line.keyword, line.example), Failure), line.example


def test_a_keyword_stands_once_in_its_block_and_means_something() -> None:
    """Every line and every option says in words what it means; a sentence of the table has no stop."""
    for block in BLOCKS:
        assert len({line.keyword for line in block.lines}) == len(block.lines)
        for line in block.lines:
            assert line.means
            assert not line.means.endswith(".")
    for form in FORMS.values():
        assert len(form.options) == 1 or all(option.means for option in form.options)


@pytest.mark.parametrize(
    "text", ["word [NUMBER", "word ) NUMBER", "one<ID", "( a | b", "a $ b", "{ NUMBER ]", "NOTHING_OF_THE_KIND"]
)
def test_a_slip_in_the_notation_is_told_at_once(text: str) -> None:
    """Whoever adds a line is not left with one that reads nothing."""
    with pytest.raises((ValueError, KeyError, IndexError)):
        notation.read(text, FORMS)


def test_no_id_of_a_sample_is_a_word_of_the_language() -> None:
    """Or the laws above would hold of less than they say."""
    assert not set(RESERVED) & set(SAMPLES["ID"])
