"""The grammar: one line of a rule file to phrases, by the table of forms.

Once what was read can be the beginning of one form only, the parser settles for it (`-` of pyparsing), so that a
mistake is told at its own place.
"""

from __future__ import annotations

from functools import cache

import pyparsing as pp

from coldiron.language import forms
from coldiron.language.notation import (
    Choice,
    Kept,
    Leaf,
    Many,
    Maybe,
    Named,
    Node,
    OneOf,
    Row,
    Slot,
    Small,
    pattern_of,
    says,
)
from coldiron.language.tree import Phrase, Token

NotSaid = pp.ParseBaseException
"""Raised where a line is none of the forms; `loc` is the place, `msg` why."""

Starts = tuple[tuple[Leaf, ...], ...]
"""The ways in which something can begin."""

FAR = 5
"""How many words a beginning has: no two forms are alike for so long."""


@cache
def statement(context: str, keyword: str) -> pp.ParserElement:
    """Return the element for one line: keyword and what follows it, in its block."""
    line = (_word(r"\S+", f"'{keyword}'") - _element(forms.node(context, keyword))).set_name(f"a line with '{keyword}'")
    line.parse_with_tabs()
    return line


def _word(pattern: str, name: str) -> pp.ParserElement:
    """A terminal that gives a `Token`."""
    element = pp.Regex(pattern)
    element.set_parse_action(lambda _text, at, found: Token(found[0], at + 1, at + 1 + len(found[0])))
    return element.set_name(name)


def _element(node: Node, later: Starts = (), earlier: Starts = (), behind: Starts = ()) -> pp.ParserElement:
    """Return the element of a node.

    `later` and `earlier` are the forms tried after it and before it in its place, `behind` is what may follow it.
    """
    match node:
        case Small() as leaf:
            return pp.Regex(pattern_of(leaf)).suppress().set_name(says(leaf))
        case Slot() | OneOf() as leaf:
            return _word(pattern_of(leaf), _or(leaf, earlier))
        case Kept(form=form, part=part):
            return _phrase(form, _element(part, later, earlier, behind))
        case Named(part=part):
            return _element(part, later, earlier, behind)
        case Maybe(part=part):
            return pp.Optional(_element(part, later + behind))
        case Many(part=part):
            many: pp.ParserElement = _element(part, later + behind)[...]
            return many
        case Choice(options=options, says=said):
            found = [
                _element(one, later + _starts(*options[at + 1 :]), earlier + _starts(*options[:at]), behind)
                for at, one in enumerate(options)
            ]
            choice = pp.MatchFirst(found)
            return choice.set_name(said) if said else choice
    return _row(node, later, earlier, behind)


def _phrase(form: str, element: pp.ParserElement) -> pp.ParserElement:
    """Make one phrase of the words an element gives."""
    whole: pp.ParserElement = element + pp.Empty()
    whole.add_parse_action(lambda found: Phrase(form, tuple(found)))
    whole.set_name(element.name)
    return whole


def _row(node: Row, later: Starts, earlier: Starts, behind: Starts) -> pp.ParserElement:
    """Return one after another, settled as soon as no form that is tried later begins with what was read."""
    whole: pp.ParserElement = pp.Empty()
    for at, part in enumerate(node.parts):
        read = _starts_of(Row(node.parts[:at]))
        rivals = _beyond(later, read)
        rest = _starts_of(Row(node.parts[at + 1 :])) + behind
        element = _element(part, rivals, _beyond(earlier, read), rest)
        whole = element if at == 0 else whole + element if rivals else whole - element
    return whole


def _or(leaf: Leaf, earlier: Starts) -> str:
    """Name a word together with what the forms tried before it have at this place: a finding, 'taken' or 'above'."""
    others = dict.fromkeys(start[0] for start in earlier if start)
    slots = [says(one) for one in others if not isinstance(one, Small)]
    names = [*slots, says(leaf), *(says(one) for one in others if isinstance(one, Small))]
    names = list(dict.fromkeys(names))
    return f"{', '.join(names[:-1])} or {names[-1]}" if len(names) > 1 else names[0]


def _beyond(starts: Starts, read: Starts) -> Starts:
    """Return what is left of those beginnings that begin with what was read."""
    kinds = {tuple(map(pattern_of, words)) for words in read}
    found = [
        start[len(words) :]
        for words in kinds
        for start in starts
        if tuple(map(pattern_of, start[: len(words)])) == words
    ]
    return tuple(dict.fromkeys(found))


def _starts(*nodes: Node) -> Starts:
    return tuple(start for node in nodes for start in _starts_of(node))


@cache
def _starts_of(node: Node) -> Starts:
    """Return every way in which a node can begin, cut after `FAR` words."""
    match node:
        case Small() | Slot() | OneOf() as leaf:
            return ((leaf,),)
        case Kept(part=part) | Named(part=part):
            return _starts_of(part)
        case Maybe(part=part) | Many(part=part):
            return ((), *_starts_of(part))
        case Choice(options=options):
            return _starts(*options)
    found: Starts = ((),)
    for part in node.parts:
        longer = _starts_of(part)
        found = tuple(dict.fromkeys((one + more)[:FAR] for one in found for more in longer))
    return found
