"""The manual cannot lie: its examples are a sound book, every keyword is on it, its table is the catalogue."""

from __future__ import annotations

import re

import pyparsing as pp
import pytest

from coldiron.audit import audit
from coldiron.language import grammar
from coldiron.language.files import shipped
from coldiron.language.forms import INNER, LINES, OPENERS
from coldiron.language.printer import print_tree
from coldiron.language.read import read
from coldiron.mistakes.manual import table
from coldiron.model import ACTS
from support.rule_text import load_texts

with open(f"{shipped()}/README.md", encoding="utf-8") as page:  # noqa: PTH123 - `shipped` gives a text
    PAGE = page.read()

EXAMPLES = re.findall(r"^```rules\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
BEGIN, END = "<!-- mistakes: begin -->\n", "<!-- mistakes: end -->\n"


def test_the_examples_together_are_a_sound_book() -> None:
    """They read, they build, the audit has nothing to say, and they hold every sort of entry."""
    book, problems = load_texts("\n".join(EXAMPLES))
    assert [str(problem) for problem in (*problems, *audit(book))] == []
    for opener in OPENERS:
        assert re.search(rf"^{opener} [a-z]", "\n".join(EXAMPLES), re.MULTILINE), opener


@pytest.mark.parametrize("block", sorted(LINES))
def test_every_keyword_is_explained_and_shown(block: str) -> None:
    """Each keyword of each block stands in an example inside that block, and as code in the text."""
    text = re.sub(r"^```rules\n.*?^```$", "", PAGE.partition(BEGIN)[0], flags=re.DOTALL | re.MULTILINE)
    shown = _keywords_in_examples()
    for keyword in LINES[block]:
        assert keyword in shown[block], keyword
        assert re.search(rf"`[^`\n]*\b{keyword}\b[^`\n]*`", text), keyword


def _keywords_in_examples() -> dict[str, set[str]]:
    """Return the keywords that stand in each sort of block in the examples."""
    found: dict[str, set[str]] = {block: set() for block in LINES}
    block = inner = ""
    for line in "\n".join(EXAMPLES).split("\n"):
        words = line.split()
        if not words:
            continue
        if not line.startswith(" "):
            block, inner = words[0], ""
        else:
            home = inner if inner and words[0] in LINES[inner] else block
            inner = inner if home != block else ""
            found[home].add(words[0])
            if INNER.get(words[0]) == block:
                inner = words[0]
    return found


def test_every_way_to_act_and_its_values_are_on_the_page() -> None:
    """With their units, where they are not plain."""
    for name, act in ACTS.items():
        assert re.search(rf"\b{name}\b", PAGE)
        for value in (*act.values, *act.optional, *act.portions, *act.ends):
            assert re.search(rf"\b{value}\b", PAGE), value


def test_the_table_of_mistakes_is_the_catalogue() -> None:
    """If it is not, `python -m coldiron.mistakes.manual` writes it."""
    assert PAGE.partition(BEGIN)[2].partition(END)[0] == table()


def test_the_grammar_in_its_docstring_names_every_keyword_and_every_rule_it_uses() -> None:
    """The BNF is whole: each keyword quoted, each name on a right side defined or a plain word for a character."""
    text = grammar.__doc__ or ""
    quoted = set(re.findall(r"[a-z_]+", " ".join(re.findall(r'"([^"]+)"', text))))
    rules = dict(re.findall(r"^    ([a-z]+) +(= .*(?:\n {10,}.*)*)", text, re.MULTILINE))
    assert {keyword for lines in LINES.values() for keyword in lines} | set(OPENERS) <= quoted | set(rules)
    for name, right in rules.items():
        plain = re.sub(r'"[^"]*"|;.*', "", right)
        for word in re.findall(r"[a-z]+", plain):
            assert word in rules or word in {"text", "any", "newline", "word", "value", "letter", "digit", "capital"}, (
                name,
                word,
            )


def test_every_keyword_has_a_grammar() -> None:
    """What `forms` lists can be parsed."""
    for block, lines in LINES.items():
        for keyword in lines:
            assert isinstance(grammar.statement(block, keyword), pp.ParserElement)


def test_the_examples_print_as_they_stand() -> None:
    """Blank for blank: the manual shows the layout the printer makes, save where it lines up wider."""
    for example in EXAMPLES:
        tree, _ = read("README.md", example.encode())
        assert print_tree(tree).split() == example.split()
