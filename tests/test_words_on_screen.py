"""What a mechanic reads: short sentences, and one word for each thing.

The texts are collected from the code of the rooms that speak to people, from the book as it is loaded, and from the
pages that a person reads first. A source is quoted as its maker wrote it, so its words are its own.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

import coldiron
from support.mechanic import shipped

ROOMS = (
    "agenda",
    "cli",
    "consult",
    "drill",
    "job",
    "judging",
    "lessons",
    "machine",
    "paper",
    "questions",
    "readings",
    "screens",
    "sizing",
    "telling",
)

FOR_PROGRAMS = ("script_forms.py", "other_words.py")
"""Files whose texts nobody reads beside a machine: written for those who write programs, or only looked for."""

MOST_WORDS = 25
"""Words of the longest sentence; a figure or a name that is filled in counts as one."""

TWINS = {
    r"suspect\w*": "likely cause",
    r"evidence": "readings",
    r"verdict\w*": "most likely cause",
    r"hypothes[ei]s": "possible cause",
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
}
"""Words that are not used on screens, and the word that is used for the same thing."""

DIALECT = {
    r"earth(?!moving)\w*": "ground",
    r"spanner\w*": "wrench",
    r"tyre\w*": "tire",
    r"petrol": "gasoline",
    r"colou\w*": "color",
    r"vapour|neighbour\w*|behaviour|labour|harbour": "vapor, neighbor, behavior",
    r"(kilo|centi|milli)?metres?|lit(re|res)": "meter, liter",
    r"grey": "gray",
    r"sulph\w*": "sulfur",
    r"(recogn|organ|author|immobil|equal|real|oxid|neutral)is(e|ed|er|ers|es|ing|ation)": "-ize",
    r"nought": "zero",
    r"amperes?": "amps",
    r"(plus|minus) (post|posts|clamp|lead|leads|cable|side|pin|terminal|jump)": "positive, negative",
    r"generating sets?": "generator set",
    r"stand-by": "standby",
    r"fork (truck|lift)s?": "forklift",
    r"park brake": "parking brake",
    r"mains|changeover": "AC power, line voltage, power outage, transfer switch",
    r"(battery|ground|positive) isolator|isolators?": "disconnect switch",
    r"(test|work|dash|warning|hazard|head|cab|charge) ?lamps?|lamps?": "light",
    r"looms?": "harness",
    r"gearbox": "transmission",
    r"low loader": "lowboy",
    r"hir(e|ed|er|ing)": "rent",
    r"mend(s|ed|ing)?": "fix",
    r"jump (lead|cable)s?": "jumper cable",
    r"fuel tap": "fuel valve",
    r"fire (service|brigade)": "fire department",
    r"afar": "remotely",
    r"dear(er|est)?": "expensive",
    r"round the": "around the",
}
"""Words of another dialect, or of another shop, and the one that stands for the thing in every file."""

ALL_TWINS = TWINS | DIALECT

QUOTED = ("Given.value", "Action.says", "Expect.name", "place", "source")
"""Fields of the book that hold what somebody else wrote: a typed answer, a phrase to look for, a title."""

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


@cache
def written_in_rules() -> list[tuple[str, str]]:
    """Field and text, for each text of the shipped book that a person reads."""
    found: list[tuple[str, str]] = []
    seen: set[int] = set()

    def walk(thing: object, field: str) -> None:
        if isinstance(thing, str):
            found.extend([(field, thing)] if " " in thing else [])
        elif id(thing) not in seen and not isinstance(thing, (int, float, type(None))):
            seen.add(id(thing))
            if isinstance(thing, Mapping):
                thing = [*thing.values()]
            if isinstance(thing, (tuple, list, set, frozenset)):
                for one in thing:
                    walk(one, field)
                return
            for name in getattr(thing, "__slots__", ()):
                known = f"{type(thing).__name__}.{name}"
                if name not in QUOTED and known not in QUOTED:
                    walk(getattr(thing, name), known)

    walk(shipped(), "")
    return found


def templates_say() -> Iterator[tuple[str, str]]:
    """File and text, for each text of the templates of pages and papers; what is filled in becomes `{}`."""
    root = Path(coldiron.__file__).parent
    for file in sorted(path for path in root.rglob("templates/*") if path.suffix in {".html", ".svg"}):
        text = re.sub(r"(?s)<(style|script)\b.*?</\1>|{#.*?#}", "", file.read_text(encoding="utf-8"))
        text = re.sub(r"{{.*?}}", "{}", re.sub(r"{%.*?%}", "", text))
        inline = re.sub(r"</?(?:strong|span|em|b)\b[^>]*>", "", text)
        yield from ((file.name, " ".join(part.split())) for part in re.split(r"<[^>]*>", inline) if part.strip())


@pytest.fixture(scope="module")
def said() -> list[tuple[str, str]]:
    """File and text, for each text of the rooms."""
    of_code = [(file.name, text) for file in files() for text in said_in(file.read_text(encoding="utf-8"))]
    return of_code + list(templates_say())


def test_no_sentence_is_longer_than_a_breath(said: list[tuple[str, str]]) -> None:
    """At most so many words."""
    assert len(said) > 400
    long = [(name, one) for name, text in said for one in sentences(text) if len(one.split()) > MOST_WORDS]
    assert long == []


@pytest.mark.parametrize("twin", ALL_TWINS)
def test_one_word_for_each_thing(twin: str, said: list[tuple[str, str]]) -> None:
    """None of the words is used that stand for a thing with another name."""
    pattern = re.compile(rf"\b(?:{twin})\b", re.IGNORECASE)
    found = [(name, text, ALL_TWINS[twin]) for name, text in said if pattern.search(text)]
    assert found == []


def test_no_sentence_of_a_rule_file_is_longer_than_a_breath() -> None:
    """Every text of the book: questions, checks, reasons, cautions, dangers, fixes, proofs."""
    assert len(written_in_rules()) > 3000
    long = [
        (name, one) for name, text in written_in_rules() for one in sentences(text) if len(one.split()) > MOST_WORDS
    ]
    assert long == []


@pytest.mark.parametrize("twin", ALL_TWINS)
def test_rule_files_use_one_word_for_each_thing(twin: str) -> None:
    """The same words as on the screens, for the texts of rule files are what screens show."""
    pattern = re.compile(rf"\b(?:{twin})\b", re.IGNORECASE)
    assert [(name, text) for name, text in written_in_rules() if pattern.search(text)] == []


def test_no_sentence_of_a_rule_file_begins_with_a_clause_for_a_noun() -> None:
    """Subject, verb, object: the thing is named."""
    found = [
        (name, one)
        for name, text in written_in_rules()
        for one in sentences(text)
        if re.match(r"(What|Who|Whoever|Whatever)\b", one) and not one.endswith("?")
    ]
    assert [one for one in found if not one[0].startswith("Case.")] == []


def test_degrees_are_said_in_both_scales() -> None:
    """Fahrenheit first, Celsius behind it; names of cases are read by those who keep the book."""
    celsius = re.compile(r"-?\b[0-9]+ C\b")
    both = re.compile(r"[0-9] F,? \(?-?[0-9.]+ C\b")
    found = [(name, text) for name, text in written_in_rules() if celsius.search(text) and not both.search(text)]
    assert [one for one in found if not one[0].startswith("Case.")] == []


@pytest.mark.parametrize("twin", DIALECT)
@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_pages_read_first_speak_the_same_dialect(page: str, twin: str) -> None:
    """What a mechanic and a contributor read before anything else; code in backquotes is no speech."""
    text = (Path(__file__).parents[1] / page).read_text(encoding="utf-8")
    speech = re.sub(r"(?s)```.*?```|`[^`]*`", "", text)
    assert [line for line in speech.splitlines() if re.search(rf"(?i)\b(?:{twin})\b", line)] == []


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
