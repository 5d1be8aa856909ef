"""Syntax trees to rule text, by the table of forms. Printing, reading and printing again gives the same text.

Words line up behind the longest keyword of their block; an inner block is indented once more; of several blank lines
one stays; comments stay; a line that could not be read stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from coldiron.language import forms
from coldiron.language.forms import INNER
from coldiron.language.notation import Choice, Kept, Many, Maybe, Named, Node, OneOf, Row, Slot, Small, lead
from coldiron.language.sorts import SORTS
from coldiron.language.tree import Broken, Phrase, Remark, Statement, Token, Tree

Way = tuple[tuple[str, ...], int]
"""One way to write something: its words, and the place of the first item that is not in it."""


def rest_text(context: str, statement: Statement) -> str:
    """Return what stands behind the label of a statement, in its block."""
    node = forms.node(context, statement.keyword.text)
    items = statement.phrases
    words = next(words for words, at in _ways(node, items, 0) if at == len(items))
    return _joined(words[len(lead(node)) :])


def _joined(words: Sequence[str]) -> str:
    """Put blanks between words, none before a comma."""
    text = ""
    for word in words:
        text += word if word == "," or not text else f" {word}"
    return text


def _ways(node: Node, items: Sequence[Phrase | Token], at: int) -> Iterator[Way]:
    """Yield every way to write a node with the items from a place on, the fullest first."""
    match node:
        case Small(text=text):
            yield (text,), at
        case Slot() | OneOf() as leaf:
            yield from _word(leaf, items, at)
        case Kept() as kept:
            yield from _phrase(kept, items, at)
        case Named(part=part):
            yield from _ways(part, items, at)
        case Maybe(part=part):
            yield from _perhaps(part, items, at)
        case Many(part=part):
            yield from reversed(_times(part, items, at))
        case Choice(options=options):
            for option in options:
                yield from _ways(option, items, at)
        case Row(parts=parts):
            yield from _row(parts, items, at)


def _word(leaf: Slot | OneOf, items: Sequence[Phrase | Token], at: int) -> Iterator[Way]:
    item = items[at] if at < len(items) else None
    if isinstance(item, Token):
        if isinstance(leaf, OneOf):
            fits = item.text in leaf.words
        else:
            fits = leaf.sort == "TEXT" or re.fullmatch(SORTS[leaf.sort].pattern, item.text) is not None
        if fits:
            yield (item.text if leaf == Slot("TEXT") else " ".join(item.text.split()),), at + 1


def _phrase(kept: Kept, items: Sequence[Phrase | Token], at: int) -> Iterator[Way]:
    item = items[at] if at < len(items) else None
    if isinstance(item, Phrase) and item.form == kept.form:
        for words, end in _ways(kept.part, item.words, 0):
            if end == len(item.words):
                yield words, at + 1


def _perhaps(part: Node, items: Sequence[Phrase | Token], at: int) -> Iterator[Way]:
    """Write a node or leave it out; a small word alone that may be left out says nothing and is not written."""
    if not isinstance(part, Small):
        yield from _ways(part, items, at)
    yield (), at


def _row(parts: Sequence[Node], items: Sequence[Phrase | Token], at: int) -> Iterator[Way]:
    if not parts:
        yield (), at
        return
    for words, place in _ways(parts[0], items, at):
        for more, end in _row(parts[1:], items, place):
            yield words + more, end


def _times(part: Node, items: Sequence[Phrase | Token], at: int) -> list[Way]:
    """Return the ways to write a node again and again, the shortest first."""
    found: list[Way] = [((), at)]
    while longer := next(((words, end) for words, end in _ways(part, items, found[-1][1]) if end > found[-1][1]), None):
        found.append((found[-1][0] + longer[0], longer[1]))
    return found


def label(context: str, keyword: str) -> str:
    """Return a keyword with the small words that always stand behind it: acts as."""
    return " ".join((keyword, *lead(forms.node(context, keyword))))


def print_tree(tree: Tree) -> str:
    """Return a syntax tree as rule text."""
    return print_lines(tree.lines)


def print_lines(lines: Iterable[Statement | Remark | Broken]) -> str:
    """Return lines of a syntax tree as rule text; each block lines up its words."""
    shown: list[str] = []
    group: list[tuple[str, Statement | Remark | Broken]] = []
    for context, line in _in_blocks(lines):
        if _opens(line) and group:
            shown += _group(group)
            group = []
        group.append((context, line))
    shown += _group(group)
    kept = [text for at, text in enumerate(shown) if text or (at and shown[at - 1])]
    return "\n".join(kept) + "\n" if kept else ""


def _in_blocks(lines: Iterable[Statement | Remark | Broken]) -> Iterator[tuple[str, Statement | Remark | Broken]]:
    """Yield each line with the block it stands in."""
    homes = ["", "", ""]
    for line in lines:
        yield homes[line.depth], line
        if isinstance(line, Remark):
            continue
        keyword = line.keyword.text if isinstance(line, Statement) else line.keyword
        if line.depth == 0 and keyword:
            homes[1] = keyword
        elif line.depth == 1 and INNER.get(keyword) == homes[1]:
            homes[2] = keyword


def _opens(line: Statement | Remark | Broken) -> bool:
    """Whether a line opens a block, inner or not."""
    return isinstance(line, Statement) and (line.depth == 0 or (line.keyword.text in INNER and line.depth == 1))


def _group(lines: Sequence[tuple[str, Statement | Remark | Broken]]) -> list[str]:
    """Return the lines of one block as text."""
    widths: dict[int, int] = {}
    for context, line in lines:
        if isinstance(line, Statement) and not _opens(line):
            widths[line.depth] = max(widths.get(line.depth, 0), len(label(context, line.keyword.text)))
    return [_line(context, line, widths) for context, line in lines]


def _line(context: str, line: Statement | Remark | Broken, widths: dict[int, int]) -> str:
    indent = "  " * line.depth
    if isinstance(line, Broken):
        return line.text
    if isinstance(line, Remark):
        return indent + line.text if line.text else ""
    width = 0 if _opens(line) else widths[line.depth]
    text = f"{indent}{label(context, line.keyword.text):<{width}} {rest_text(context, line)}".rstrip()
    return f"{text}  {line.comment}" if line.comment else text
