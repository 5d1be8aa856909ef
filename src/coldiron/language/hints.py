"""Why a line could not be read: from the place where the parser stopped to a kind of mistake in plain words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coldiron.book.problem import Problem, nearest
from coldiron.book.source import Place
from coldiron.language import forms
from coldiron.language.forms import INNER, LINES, OPENERS, UNITS, lines_of
from coldiron.language.notation import Choice, Kept, Leaf, Many, Maybe, Named, Node, OneOf, Row, Slot, Small, pattern_of
from coldiron.mistakes import filled, mistake
from coldiron.record import dataclass

_OTHER_UNITS = {
    "v": "V",
    "volt": "V",
    "volts": "V",
    "a": "A",
    "amp": "A",
    "amps": "A",
    "Ohm": "ohms",
    "Ohms": "ohms",
    "\N{OHM SIGN}": "ohms",
    "\N{GREEK CAPITAL LETTER OMEGA}": "ohms",
    "min": "minutes",
    "mins": "minutes",
    "mm\N{SUPERSCRIPT TWO}": "mm2",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
}

_OF_LETTERS = ("an id", "a finding", "an answer", "a part", "a check", "a point", "a fault", "a value")
"""What a mistake calls words of small letters."""


@dataclass(frozen=True, slots=True)
class Failure:
    """Where and why a line could not be read: columns, kind of problem, what fills its sentence, what could stand."""

    column: int
    end: int
    kind: str
    filling: tuple[tuple[str, str], ...]
    allowed: tuple[str, ...] = ()
    nearest: str = ""

    def at(self, file: str, line: int) -> Problem:
        """Return it as a problem of one line of a file."""
        place = Place(file, line, self.column, self.end)
        return filled(self.kind, place, dict(self.filling), allowed=self.allowed, nearest=self.nearest)


def failure(context: str, keyword: str, code: str, at: int, message: str) -> Failure:
    """Say why `code` could not be read at offset `at`, where the parser says "Expected ..."."""
    while at < len(code) and code[at] in " \t":
        at += 1
    expected = message.removeprefix("Expected ").partition(", found")[0]
    end = at + len(_word_at(code, at))
    found = code[at:end]
    kind, filling = _diagnose(code, at, found, expected)
    end = at + len(filling.pop("marked", found))
    allowed = tuple(expected.split("'")[1::2]) or _closed(expected)
    if kind == "too-much" and (words := going_on(forms.node(context, keyword), keyword, code[:at])):
        listing = "," in words and re.fullmatch(r"[a-z0-9_.]+", found) and not code[:at].rstrip().endswith(",")
        allowed = tuple(word for word in words if word != ",")
        kind = "comma-missing" if listing else "goes-on-so" if allowed else kind
    near = filling.pop("near", "") or (nearest(found, [word.split()[0] for word in allowed]) if found else "")
    if kind == "expected" and len(allowed) > 1:
        kind = "none-of-these"
    if kind == "wrong-unit":
        near, allowed = filling["unit"], UNITS
    elif kind not in ("none-of-these", "line-ends", "goes-on-so") or (len(allowed) == 1 and kind != "goes-on-so"):
        allowed = ()
    filling = {"keyword": keyword, "expected": expected, "found": found, "block": context, **filling}
    return Failure(at + 1, end + 1, kind, tuple(filling.items()), allowed, near)


def _word_at(code: str, at: int) -> str:
    found = re.compile(r"[^\s,]+|,").match(code, at)
    return found[0] if found else ""


def _closed(expected: str) -> tuple[str, ...]:
    """The words of an element named 'one of a, b or c' or 'a, b or c'."""
    listed = expected.removeprefix("one of ")
    words = re.split(r", or |, | or ", listed)
    return tuple(words) if len(words) > 1 and all(re.fullmatch(r"[A-Za-z0-9 ]+", word) for word in words) else ()


def _diagnose(code: str, at: int, found: str, expected: str) -> tuple[str, dict[str, str]]:
    """Return the kind of the mistake and what its sentence needs."""
    last = next(iter(code[:at].split()[-1:]), "")
    if not found:
        return "line-ends", {}
    if "%" in found:
        return "percent", {}
    if re.fullmatch(r"<=?|>=?|\N{LESS-THAN OR EQUAL TO}|\N{GREATER-THAN OR EQUAL TO}", found):
        better = "below" if found[0] in "<\N{LESS-THAN OR EQUAL TO}" else "above"
        return "compare-sign", {"better": better, "near": better}
    if not re.search(r"[0-9A-Za-z\"',]", found) and found != "-":
        return "sign-not-word", {}
    if found[0] in "\"'\N{LEFT DOUBLE QUOTATION MARK}":
        return "quotes", {}
    if re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", last) and found in _OTHER_UNITS:
        return "wrong-unit", {"unit": _OTHER_UNITS[found]}
    return _of_number(code, at, found) if expected == "a number" else _of_word(found, expected, last)


def _of_number(code: str, at: int, found: str) -> tuple[str, dict[str, str]]:
    """Say what is wrong with what stands where a number should."""
    if comma := re.compile(r"-?[0-9]+,[0-9]+").match(code, at):
        return "decimal-comma", {"better": comma[0].replace(",", "."), "marked": comma[0]}
    if re.fullmatch(r"\+[0-9.]+", found):
        return "plus-sign", {"better": found[1:]}
    if re.fullmatch(r"-?\.[0-9]+", found):
        return "bare-point", {"better": found.replace(".", "0.")}
    if re.fullmatch(r"-?[0-9]+\.", found):
        return "bare-point", {"better": found + "0"}
    if glued := re.fullmatch(r"(-?[0-9]+(?:\.[0-9]+)?)([A-Za-z]+[0-9]?)", found):
        return "glued-unit", {"number": glued[1], "unit": glued[2]}
    return "expected", {}


def _of_word(found: str, expected: str, last: str) -> tuple[str, dict[str, str]]:
    """Say what is wrong with what stands where an id, a small word or the end of the line should."""
    if expected == "end of text":
        return "too-much", {"before": last}
    if "'" not in expected and expected.startswith(_OF_LETTERS):
        if re.fullmatch(r"[A-Za-z][A-Za-z0-9_.]*(-[A-Za-z0-9_.]+)+", found):
            better = found.replace("-", "_").lower()
            return "hyphen", {"better": better, "near": better}
        if re.fullmatch(r"[A-Za-z][A-Za-z0-9_.]*", found) and found.lower() != found:
            return "capital", {"better": found.lower(), "near": found.lower()}
        if re.fullmatch(r"[0-9]+[A-Za-z_][A-Za-z0-9_]*", found):
            return "digit-first", {}
    return "expected", {}


def going_on(node: Node, keyword: str, text: str) -> tuple[str, ...]:
    """Return the words of the language that may stand next behind the text of a line so far; a comma is one."""
    found: list[Leaf] = []
    text = text.rstrip()
    for _ in _ends(node, text, text.index(keyword) + len(keyword), found):
        pass
    words: list[str] = []
    for leaf in found:
        match leaf:
            case Small(text=small):
                words.append(small)
            case OneOf(words=several):
                words += several
            case Slot(sort="UNIT", role=unit) if unit:
                words.append(unit)
    return tuple(dict.fromkeys(words))


def _ends(node: Node, text: str, at: int, found: list[Leaf]) -> Iterator[int]:
    """Yield the places to which a node can be read; words that could be read where the text ends are found."""
    match node:
        case Small() | Slot() | OneOf() as leaf:
            if at == len(text):
                found.append(leaf)
            elif read := re.compile(rf"[ \t]*(?:{pattern_of(leaf)})").match(text, at):
                yield read.end()
        case Kept(part=part) | Named(part=part):
            yield from _ends(part, text, at, found)
        case Maybe(part=part):
            yield from _ends(part, text, at, found)
            yield at
        case Many(part=part):
            yield from _ends_of_many(part, text, at, found)
        case Choice(options=options):
            for option in options:
                yield from _ends(option, text, at, found)
        case Row(parts=parts):
            yield from _ends_of_row(parts, text, at, found)


def _ends_of_row(parts: tuple[Node, ...], text: str, at: int, found: list[Leaf]) -> Iterator[int]:
    if not parts:
        yield at
        return
    for place in _ends(parts[0], text, at, found):
        yield from _ends_of_row(parts[1:], text, place, found)


def _ends_of_many(part: Node, text: str, at: int, found: list[Leaf]) -> Iterator[int]:
    """Go on as often as the text does; no place is tried twice."""
    seen, todo = {at}, [at]
    while todo:
        place = todo.pop(0)
        yield place
        new = [end for end in _ends(part, text, place, found) if end not in seen]
        seen.update(new)
        todo += new


def wrong_keyword(place: Place, keyword: str, context: str, inner: str) -> Problem:
    """Word the problem of an indented line that opens with a word its block does not know."""
    if not context:
        return mistake("outside-block", place, word=keyword, allowed=OPENERS)
    allowed = (*lines_of(inner), *(word for word in lines_of(context) if word not in lines_of(inner)))
    near = nearest(keyword, allowed)
    bare = keyword.rstrip(":=")
    if bare != keyword and bare in allowed:
        return mistake("colon", place, word=bare, allowed=(), nearest=bare)
    if keyword in OPENERS:
        return mistake("indented-opener", place, word=keyword, block=context, allowed=allowed)
    homes = sorted(block for block, lines in LINES.items() if keyword in lines)
    if homes and not near:
        inside = " or ".join(f"{block} of a {INNER[block]}" if block in INNER else block for block in homes)
        return mistake("other-block", place, word=keyword, block=inner or context, homes=inside, allowed=allowed)
    return mistake("unknown-line", place, word=keyword, block=inner or context, allowed=allowed, nearest=near)
