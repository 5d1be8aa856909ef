"""The manual cannot lie: its examples are two sound books, its tables are what the table of forms makes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coldiron.audit import audit
from coldiron.book.acts import ACTS
from coldiron.cards.building import built
from coldiron.cards.printing import card_text
from coldiron.cli import DONE, main
from coldiron.language.files import shipped
from coldiron.language.forms import FORMS, INNER, LINES, OPENERS
from coldiron.language.manual import MARKED, written
from coldiron.language.printer import print_tree
from coldiron.language.read import read
from support.book_cases import outcome, shortfall
from support.rule_text import load_texts

with open(f"{shipped()}/README.md", encoding="utf-8") as page:  # noqa: PTH123 - `shipped` gives a text
    PAGE = page.read()

EXAMPLES = re.findall(r"^```rules\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
CARD = "machine"
"""A card is read beside a book, and is no part of it."""

CARDS = re.findall(r"^```card\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
BEGINNING = re.findall(r"^```rules\n(.*?)^```$", PAGE.partition("\n## How a file reads")[0], re.DOTALL | re.MULTILINE)
EXAMPLES = EXAMPLES[len(BEGINNING) :]


def test_the_examples_together_are_a_sound_book() -> None:
    """They read, they build, the audit has nothing to say, and they hold every sort of entry."""
    book, problems = load_texts("\n".join(EXAMPLES))
    assert [str(problem) for problem in (*problems, *audit(book))] == []
    for opener in set(OPENERS) - {CARD}:
        assert re.search(rf"^{opener} [a-z]", "\n".join(EXAMPLES), re.MULTILINE), opener


@pytest.mark.parametrize("text", CARDS)
def test_each_card_of_the_page_is_right(text: str) -> None:
    """It speaks of the book of the page, and prints as it stands, blanks aside."""
    book, _ = load_texts("\n".join(EXAMPLES))
    card, problems = built(book, "red_van.rules", text.encode())
    assert problems == ()
    assert card is not None
    assert card_text(book, card.name, card).split() == text.split()


@pytest.mark.parametrize("parts", [BEGINNING, EXAMPLES], ids=["beginning", "examples"])
def test_each_book_of_the_page_is_right(parts: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`book check` and `book prove` have nothing to say against it, and its own case comes to what it expects."""
    (tmp_path / "horn.rules").write_text("\n".join(parts), encoding="utf-8")
    assert main(["book", "check", str(tmp_path)]) == DONE
    assert "0 errors, 0 warnings" in capsys.readouterr().out
    assert main(["book", "prove", str(tmp_path)]) == DONE
    assert "0 disagreements" in capsys.readouterr().out

    book, _ = load_texts("\n".join(parts))
    assert book.cases
    for case in book.cases.values():
        found = outcome(book, case)
        assert [shortfall(book, case, expect, found) for expect in case.expects] == [""] * len(case.expects)


def test_the_first_book_can_be_read_in_one_go_and_tells_all_its_faults_apart(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It stays small, and no two of its faults look alike."""
    text = "\n".join(BEGINNING)
    assert len(text.split("\n")) <= 200
    (tmp_path / "horn.rules").write_text(text, encoding="utf-8")
    main(["book", "prove", str(tmp_path)])
    assert "tells these apart" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("when     fuse_volts dead", "when     fuse_vots dead"), "fuse_volts"),
        (("given     battery_volts 12.6 V", "given     battery_volts 1 V"), "no machine with one fault"),
    ],
)
def test_the_first_book_changed_as_the_page_says_is_wrong(
    change: tuple[str, str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A misspelled check is told with the word that was meant; a reading no machine gives is a disagreement."""
    text = "\n".join(BEGINNING)
    assert change[0] in text
    (tmp_path / "horn.rules").write_text(text.replace(*change), encoding="utf-8")
    assert main(["book", "prove", str(tmp_path)]) != DONE
    assert said in "".join(capsys.readouterr())


@pytest.mark.parametrize("block", sorted(LINES))
def test_every_keyword_is_shown(block: str) -> None:
    """Each keyword of each block stands in an example inside that block."""
    assert set(LINES[block]) <= _keywords_in_examples()[block]


def _keywords_in_examples() -> dict[str, set[str]]:
    """Return the keywords that stand in each sort of block in the examples."""
    found: dict[str, set[str]] = {block: set() for block in LINES}
    block = inner = ""
    for line in "\n".join([*EXAMPLES, *CARDS]).split("\n"):
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


def test_every_table_of_the_page_is_made_from_the_forms() -> None:
    """If it is not, `python -m coldiron.language.manual rules/README.md` writes it."""
    assert written(PAGE) == PAGE
    assert written(MARKED.sub(lambda place: place[0].replace(place[2], ""), PAGE)) == PAGE


def test_every_block_and_every_form_of_several_has_its_table_once() -> None:
    """And so have the mistakes, the grammar, the sorts of words and the ways to act."""
    named = [name for place in MARKED.finditer(PAGE) for name in place[1].split()]
    forms = [name for name, form in FORMS.items() if len(form.options) > 1]
    assert sorted(named) == sorted([*LINES, *forms, "mistakes", "grammar", "sorts", "acts"])


def test_the_grammar_defines_every_name_it_uses() -> None:
    """Each name on a right side stands on a left side, or is a plain word for a character."""
    grammar = next(place[2] for place in MARKED.finditer(PAGE) if place[1] == "grammar")
    rules = dict(re.findall(r"^([a-z_]+) += (.*(?:\n {5,}.*)*)", grammar, re.MULTILINE))
    assert {f"{block}_line" for block in LINES} <= set(rules)
    for name, right in rules.items():
        for word in re.findall(r"[a-z_]+", re.sub(r'"[^"]*"|;.*', "", right)):
            assert word in rules or word in {"any", "newline", "letter", "digit", "capital"}, (name, word)


def test_every_line_of_the_table_is_shown_by_a_line_of_the_examples() -> None:
    """Its example is not made up for the table."""
    shown = {" ".join(line.split()) for example in (*EXAMPLES, *CARDS) for line in example.split("\n")}
    for lines in LINES.values():
        assert [line.example for line in lines.values() if line.example not in shown] == []


def test_the_examples_print_as_they_stand() -> None:
    """Blank for blank: the manual shows the layout the printer makes, save where it lines up wider."""
    for example in (*BEGINNING, *EXAMPLES):
        tree, _ = read("README.md", example.encode())
        assert print_tree(tree).split() == example.split()
