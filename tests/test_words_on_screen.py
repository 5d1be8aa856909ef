"""What a mechanic reads: short sentences, and one word for each thing.

The texts are collected from the code of the rooms that speak to people. Texts of rule files are not looked at here.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import coldiron

ROOMS = ("agenda", "cli", "consult", "job", "judging", "machine", "questions", "readings", "screens", "telling")

FOR_PROGRAMS = ("script_forms.py",)
"""Files whose texts are read by those who write programs, not beside a machine."""

MOST_WORDS = 25
"""Words of the longest sentence; a figure or a name that is filled in counts as one."""

TWINS = {
    r"suspect\w*": "likely cause",
    r"evidence": "readings",
    r"verdict\w*": "most likely cause",
    r"blame\w*": "condemned",
    r"innocent": "proven good",
    r"not excluded": "still possible",
    r"withdrawn": "no longer so",
    r"complaint\w*": "symptom",
    r"repair\w*": "fix",
    r"taken down": "written down",
    r"band|bands": "known range, limits",
    r"anew": "again",
    r"begun": "started",
    r"earth\w*": "ground",
    r"spanner\w*": "wrench",
    r"tyre\w*": "tire",
    r"petrol": "gasoline",
    r"colou\w*": "color",
    r"nought": "zero",
    r"(plus|minus) (post|clamp|lead|cable)": "positive, negative",
    r"generating set": "generator set",
    r"fork truck": "forklift",
}
"""Words that are not used on screens, and the word that is used for the same thing."""

ONLY_MORE = {"odds": "reasons.py", "Source": "reasons.py code_words.py", "of the doubt": "reasons.py"}
"""Words of the detail that only `why more` shows, and the files that make it."""


def said_in(code: str) -> Iterator[str]:
    """Every text of some code with a blank or a capital in it, no docstring, no pattern; a filling becomes `{}`."""
    tree = ast.parse(code)
    skipped: set[ast.AST] = set()
    for node in ast.walk(tree):
        pattern = isinstance(node, ast.Call) and ast.unparse(node.func).startswith("re.")
        if pattern or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)):
            skipped.update(ast.walk(node))
        if isinstance(node, ast.FunctionDef) and node.name == "__repr__":
            skipped.update(ast.walk(node))
        if isinstance(node, ast.JoinedStr):
            skipped.update(part for part in node.values if isinstance(part, ast.Constant))
        if node in skipped:
            continue
        if isinstance(node, ast.JoinedStr):
            text = "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        if (" " in text.strip() or text.istitle()) and "(?" not in text:
            yield text


def sentences(text: str) -> list[str]:
    """The sentences of a text; a colon ends none."""
    return [part for part in re.split(r"(?<=[.?!])\s+", text) if part]


def files() -> list[Path]:
    """The code of the rooms."""
    root = Path(coldiron.__file__).parent
    return [file for room in ROOMS for file in sorted((root / room).rglob("*.py")) if file.name not in FOR_PROGRAMS]


@pytest.fixture(scope="module")
def said() -> list[tuple[str, str]]:
    """File and text, for each text of the rooms."""
    return [(file.name, text) for file in files() for text in said_in(file.read_text(encoding="utf-8"))]


def test_no_sentence_is_longer_than_a_breath(said: list[tuple[str, str]]) -> None:
    """At most so many words."""
    assert len(said) > 400
    long = [(name, one) for name, text in said for one in sentences(text) if len(one.split()) > MOST_WORDS]
    assert long == []


@pytest.mark.parametrize("twin", TWINS)
def test_one_word_for_each_thing(twin: str, said: list[tuple[str, str]]) -> None:
    """None of the words is used that stand for a thing with another name."""
    pattern = re.compile(rf"\b(?:{twin})\b", re.IGNORECASE)
    found = [(name, text, TWINS[twin]) for name, text in said if pattern.search(text)]
    assert found == []


@pytest.mark.parametrize("word", ONLY_MORE)
def test_detail_waits_for_why_more(word: str, said: list[tuple[str, str]]) -> None:
    """Odds and sources are written only by the code behind `why more`."""
    found = {name for name, text in said if re.search(rf"\b{word}\b", text)}
    assert found
    assert found <= set(ONLY_MORE[word].split())


def test_the_collector_sees_what_is_shown_and_nothing_else() -> None:
    """Docstrings and patterns are not read aloud; sentences with a figure in them are."""
    code = '"""A docstring here."""\nimport re\nX = re.compile("a b")\nY = f"It reads {1 + 1} volts. Look again."\n'
    assert list(said_in(code)) == ["It reads {} volts. Look again."]
    assert sentences("It reads {} volts. Look again.") == ["It reads {} volts.", "Look again."]
