"""The notation of the table of forms: how a line of the language is written down, and the nodes it is read into.

    word            this word, not kept; 'two words' in quotation marks are one, of minute(s) the s may be left out
    NUMBER          a word of this sort, kept; NUMBER:odds says what it is for
    open/closed     one of these words, kept; eye/ is one alone
    CHECK...        one or several, commas between
    [ a ]           a, or nothing; small words alone that may be left out are not printed
    { a }           a, any number of times
    ( a | b )       one of these
    chance< a >     what a keeps makes one phrase of this name; `_` in a name stands for a blank
    MINUTES         another form of the table, by its name

A kept word outside a phrase is a phrase by itself, named as its sort says.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from coldiron.language.sorts import SORTS
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Small:
    """A small word of the language, or a comma; with `plural` its last letter may be left out."""

    text: str
    plural: bool = False


@dataclass(frozen=True, slots=True)
class Slot:
    """A word of a sort; `role` says what it is for, and of a unit which one."""

    sort: str
    role: str = ""


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of a closed set of words."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One after another."""

    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Maybe:
    """Once or not at all."""

    part: Node


@dataclass(frozen=True, slots=True)
class Many:
    """Any number of times."""

    part: Node


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several; `says` is what a mistake calls them."""

    options: tuple[Node, ...]
    says: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """A phrase: what its part keeps, under a name."""

    form: str
    part: Node


@dataclass(frozen=True, slots=True)
class Named:
    """A form of the table that has a name of its own."""

    name: str
    part: Node


Leaf = Small | Slot | OneOf
Node = Leaf | Row | Maybe | Many | Choice | Kept | Named


@dataclass(frozen=True, slots=True)
class Option:
    """One way to fill a form: its notation, and what it means."""

    pattern: str
    means: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """A form with a name: its options; `says` is what a mistake calls them where their first words do not."""

    options: tuple[Option, ...]
    says: str = ""


_TOKEN = re.compile(
    r"\s*(?:(?P<quoted>'[^']+')|(?P<form>[a-z_]+)<|(?P<oneof>[A-Za-z0-9_]+(?:/[A-Za-z0-9_]+)+|[a-z]+/)"
    r"|(?P<slot>[A-Z]{2,})(?::(?P<role>[a-z_]+))?(?P<several>\.\.\.)?|(?P<plural>[a-z]+)\(s\)|(?P<small>[A-Za-z]+)"
    r"|(?P<sign>[][{}()|,>]))"
)


class _Reader:
    """Reads one notation; `inside` a phrase a kept word is no phrase by itself."""

    def __init__(self, text: str, forms: Mapping[str, Form]) -> None:
        self.tokens = [*_TOKEN.finditer(text)]
        self.forms = forms
        self.at = 0

    def options(self, end: str, *, inside: bool) -> Node:
        """Read up to a closing sign, which is passed over: one row, or several with `|` between."""
        rows = [self.row(inside=inside)]
        while self.sign() == "|":
            self.at += 1
            rows.append(self.row(inside=inside))
        if self.sign() != end:
            raise ValueError(f"'{end}' is missing")
        self.at += 1
        return rows[0] if len(rows) == 1 else Choice(tuple(rows))

    def sign(self) -> str:
        """Return the sign that comes next; none at the end or before a word."""
        return self.tokens[self.at]["sign"] or "" if self.at < len(self.tokens) else ""

    def row(self, *, inside: bool) -> Node:
        """Read one after another until something closes."""
        parts: list[Node] = []
        while self.at < len(self.tokens) and self.sign() not in ("]", "}", ")", ">", "|"):
            parts.append(self.part(inside=inside))
        return parts[0] if len(parts) == 1 else Row(tuple(parts))

    def part(self, *, inside: bool) -> Node:
        """Read one word or one group."""
        token = self.tokens[self.at]
        self.at += 1
        if token["form"]:
            return Kept(token["form"].replace("_", " "), self.options(">", inside=True))
        if token["slot"]:
            return self.slot(token, inside=inside)
        if token["oneof"]:
            words = OneOf(tuple(filter(None, token["oneof"].split("/"))))
            return words if inside else Kept("word", words)
        if token["plural"]:
            return Small(token["plural"] + "s", plural=True)
        match token["sign"]:
            case "[":
                return Maybe(self.options("]", inside=inside))
            case "{":
                return Many(self.options("}", inside=inside))
            case "(":
                return self.options(")", inside=inside)
        return Small(token["sign"] or token["small"] or token["quoted"].strip("'"))

    def slot(self, token: re.Match[str], *, inside: bool) -> Node:
        """Make a word of a sort, or a form that has a name."""
        name = token["slot"]
        if name in self.forms:
            return Named(name, node_of(self.forms[name], self.forms, inside=inside))
        slot = Slot(name, token["role"] or "")
        if token["several"]:
            return Row((slot, Many(Row((Small(","), slot)))))
        return slot if inside else Kept(SORTS[name].form, slot)


def read(text: str, forms: Mapping[str, Form], *, inside: bool = False) -> Node:
    """Return the node of a notation; no text gives a row of nothing."""
    reader = _Reader(text, forms)
    node = reader.row(inside=inside)
    if reader.at < len(reader.tokens) or "".join(text.split()) != "".join("".join(m[0].split()) for m in reader.tokens):
        raise ValueError(f"not in the notation of forms: {text}")
    return node


def node_of(form: Form, forms: Mapping[str, Form], *, inside: bool = False) -> Node:
    """Return the node of a form with a name."""
    options = tuple(read(option.pattern, forms, inside=inside) for option in form.options)
    return options[0] if len(options) == 1 and not form.says else Choice(options, form.says or _heads(options))


def _heads(options: Iterable[Node]) -> str:
    """Name options by their first small words: setting, check or all."""
    heads = [" ".join(head(option)) for option in options]
    return f"{', '.join(heads[:-1])} or {heads[-1]}"


def head(node: Node) -> tuple[str, ...]:
    """Return the small words a node begins with."""
    match node:
        case Small(text=text):
            return (text,)
        case Kept(part=part) | Named(part=part):
            return head(part)
        case Row(parts=parts):
            words: tuple[str, ...] = ()
            for part in parts:
                first = head(part)
                words += first
                if not isinstance(part, Small):
                    break
            return words
    return ()


def lead(node: Node) -> tuple[str, ...]:
    """Return the small words a line has behind its keyword before anything that is kept: acts as, told by."""
    parts = node.parts if isinstance(node, Row) else (node,)
    words = []
    for part in parts:
        if not isinstance(part, Small):
            break
        words.append(part.text)
    return tuple(words)


def pattern_of(leaf: Leaf) -> str:
    """Return the regular expression of a word."""
    match leaf:
        case Small(text=","):
            return ","
        case Small(text=text, plural=plural):
            return text.replace(" ", r"[ \t]+") + ("?" if plural else "") + r"(?![A-Za-z0-9_])"
        case OneOf(words=words):
            return f"(?:{'|'.join(words)})(?![A-Za-z0-9_])"
    return SORTS[leaf.sort].pattern


def says(leaf: Leaf) -> str:
    """Return what a mistake calls a word that should stand there."""
    match leaf:
        case Small(text=","):
            return "a comma"
        case Small(text=text):
            return f"'{text}'"
        case OneOf(words=words):
            return f"one of {', '.join(words)}"
    return SORTS[leaf.sort].says
