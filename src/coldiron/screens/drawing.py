"""A page as rows of styled text, of any width; both screens draw through here.

All text is cleaned here, and only here, so nothing reaches a screen that was not. Styles carry no meaning that the
words do not carry too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from coldiron.plaintext import clean, columns, one_line, wrap
from coldiron.screens.lines import Block, CautionBlock, Choices, Drawn, Heading, Prompt, Saved, Suspects, Text

MEASURE = 100
"""The longest line that is still easily read, in columns."""


class Span(NamedTuple):
    """A stretch of one row in one style."""

    style: str
    text: str


class PageRow(NamedTuple):
    """One row: which block of the page it belongs to (counted from 0; -1 for air), and its spans."""

    block: int
    spans: tuple[Span, ...]

    @property
    def text(self) -> str:
        """The row without its styles."""
        return "".join(span.text for span in self.spans)


AIR = PageRow(-1, ())


LONG_LIST = 16
"""Choices of a list above which short ones stand in columns: with the rest of a page they would not fit a screen."""

BESIDE_A_KEY = 4
"""Blanks around the key of a choice."""

LONGEST = 2_000
"""Characters of one text that are drawn: no text of a book is as long, and nobody reads through screens of one."""


def _cleaned(text: str) -> str:
    return one_line(text, LONGEST)


def draw(blocks: Sequence[Block], width: int, *, tight: bool = False, asides: bool = True) -> list[PageRow]:
    """Rows of at most `width` columns. `tight` leaves out air and puts the suspects in one paragraph."""
    measure = max(2, min(width, MEASURE))
    rows: list[PageRow] = []
    for index, block in enumerate(blocks):
        if isinstance(block, Text | Drawn) and block.aside and not asides:
            continue
        drawn = [PageRow(index, spans) for spans in _block(block, measure, tight=tight)]
        if drawn and rows and not tight and _opens(block, blocks[index - 1]):
            rows.append(AIR)
        rows += drawn
    return rows


def _opens(block: Block, before: Block) -> bool:
    """Whether a block stands apart from the one before it."""
    if isinstance(block, Choices):
        return not isinstance(before, Heading)
    return isinstance(block, Heading | CautionBlock | Suspects | Prompt)


def fit(blocks: Sequence[Block], width: int, height: int) -> list[PageRow]:
    """The roomiest rows that go into `height`; if none do, the shortest."""
    rows = draw(blocks, width)
    if len(rows) > height:
        rows = draw(blocks, width, tight=True)
    if len(rows) > height:
        rows = draw(blocks, width, tight=True, asides=False)
    return rows


def bar(words: Iterable[str], width: int) -> list[str]:
    """The words that may be typed, in as few lines as they take."""
    lines = [""]
    for word in map(_cleaned, words):
        longer = f"{lines[-1]}  {word}" if lines[-1] else word
        if columns(longer) <= width or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line if columns(line) <= width else wrap(line, width)[0] for line in lines if line]


def _block(block: Block, width: int, *, tight: bool) -> Iterator[tuple[Span, ...]]:
    if isinstance(block, Heading):
        yield from _paragraph("heading", block.text, width)
    elif isinstance(block, Text):
        yield from _labelled("label", block.label, "", block.text, width)
    elif isinstance(block, CautionBlock):
        yield from _caution(block, width)
    elif isinstance(block, Suspects):
        yield from _suspects(block, width, tight=tight)
    elif isinstance(block, Choices):
        yield from _choices(block, width)
    elif isinstance(block, Drawn):
        yield from ((Span("", clean(row)),) for row in block.rows(width))
    elif isinstance(block, Saved):
        yield from _paragraph("saved", block.text, width)
    elif block.hint:
        yield from _paragraph("hint", block.hint, width)


def _paragraph(style: str, text: str, width: int, indent: str = "") -> Iterator[tuple[Span, ...]]:
    for line in wrap(_cleaned(text), width, indent, indent):
        yield (Span(style, line),)


def _labelled(label_style: str, label: str, style: str, text: str, width: int) -> Iterator[tuple[Span, ...]]:
    """A paragraph opened by a label; the other lines stand a little in."""
    opening = f"{_cleaned(label)}:" if label else ""
    for index, line in enumerate(wrap(f"{opening} {_cleaned(text)}", width, "", "  " if label else "")):
        if index == 0 and opening and line.startswith(opening):
            yield (Span(label_style, opening), Span(style, line[len(opening) :]))
        else:
            yield (Span(style, line),)


def _marked(style: str, mark: str, text: str, width: int) -> Iterator[tuple[Span, ...]]:
    """A paragraph with a mark in front of it, in a column of its own."""
    mark = f"  {_cleaned(mark)}  "
    for index, line in enumerate(wrap(_cleaned(text), width, mark, " " * columns(mark))):
        if index == 0 and line.startswith(mark):
            yield (Span(style, mark), Span("", line[len(mark) :]))
        else:
            yield (Span("", line),)


def _choices(block: Choices, width: int) -> Iterator[tuple[Span, ...]]:
    """One choice a line; a long list of short ones in as many columns as there is room for, read downward."""
    keys = max((columns(_cleaned(key)) for key, _ in block.rows), default=0)
    rows = [(_cleaned(key).rjust(keys), _cleaned(meaning)) for key, meaning in block.rows]
    room = max((columns(meaning) for _, meaning in rows), default=0)
    abreast = width // (keys + BESIDE_A_KEY + room) if len(rows) > LONG_LIST else 1
    if abreast > 1:
        yield from _side_by_side(rows, -(-len(rows) // abreast), room)
        return
    for key, meaning in rows:
        yield from _marked("key", key, meaning, width)


def _side_by_side(rows: Sequence[tuple[str, str]], deep: int, room: int) -> Iterator[tuple[Span, ...]]:
    """Choices in columns so many rows deep; each meaning but that of the last column is filled up to its room."""
    for at in range(deep):
        spans: list[Span] = []
        for key, meaning in rows[at::deep]:
            spans += [Span("key", f"  {key}  "), Span("", meaning + " " * (room - columns(meaning)))]
        yield (*spans[:-1], Span("", spans[-1].text.rstrip()))


def _caution(block: CautionBlock, width: int) -> Iterator[tuple[Span, ...]]:
    style = block.word.lower() if block.word.isalpha() and block.word.isascii() else "caution"
    yield from _labelled(style, f"! {block.word}", "hazard", block.hazard, width)
    if block.harm:
        yield from _paragraph("", block.harm, width, "  ")
    if block.avoid:
        yield from _paragraph("avoid", block.avoid, width, "  ")


def share(value: float) -> str:
    """A probability as it is shown: in whole hundredths, never rounded to none or to all."""
    if 0 < value < 0.01:
        return "<1 %"
    return f"{min(99, round(value * 100)) if value < 1 else 100} %"


def _suspects(block: Suspects, width: int, *, tight: bool) -> Iterator[tuple[Span, ...]]:
    if not block.rows:
        return
    if tight:
        text = ", ".join(f"{name} {share(value)}" for name, value in block.rows)
        yield from _labelled("label", "Likely causes", "", text, width)
        return
    yield (Span("label", wrap("Likely causes:", width)[0]),)
    for name, value in block.rows:
        yield from _marked("share", share(value).rjust(5), name, width)
