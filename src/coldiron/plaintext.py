"""Text at the border to a screen: made harmless, measured in columns, and wrapped.

Rule files and readings come from anywhere. Whatever a terminal could take for a command, or that would show letters in
another order than they stand in, is replaced before it is drawn.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

REPLACED = "\N{REPLACEMENT CHARACTER}"

MARKS = ("Mn", "Me")
"""Unicode's categories of what takes no place of its own but is drawn onto the letter before."""

FIRST_MARK = "\u0300"
"""From here on a character may take no column or two; before it each that is shown takes one."""

ONE_COLUMN = "\N{EN DASH}\N{EM DASH}\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}" + (
    "\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{HORIZONTAL ELLIPSIS}\N{MINUS SIGN}" + REPLACED
)
"""Others that are often written."""

STACKED = 3
"""Combining marks that one letter may carry; a pile of more would paint over the lines around it."""

BLANK_LETTERS = "\u115f\u1160\u3164\uffa0"
"""Letters that fill a place and show nothing, though Unicode counts them as printable (Hangul fillers)."""


def clean(text: str) -> str:
    """The text on one line with only characters that can be seen: each other one replaced, blanks of all sorts a blank.

    That takes out control characters (C0 and C1, so also escape sequences), marks of writing direction, invisible
    characters, halves of surrogate pairs, code points that mean nothing, and combining marks that stand on no letter or
    in a pile (`STACKED`).
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_piles_levelled(seen(character) for character in text))


def one_line(text: str, most: int = 200) -> str:
    """A text from outside as part of a sentence or a page: cleaned, of a longer one only so many characters."""
    return clean(text if len(text) <= most else f"{text[:most]}...")


def seen(character: str) -> str:
    """One character as it is shown; a combining mark stays, whatever it will stand on."""
    if character.isprintable() and character not in BLANK_LETTERS:
        return character
    return " " if character.isspace() else REPLACED


def _piles_levelled(characters: Iterable[str]) -> Iterator[str]:
    """The characters, each combining mark beyond the first few on a letter, or on no letter at all, replaced."""
    marks = STACKED
    for character in characters:
        if unicodedata.category(character) in MARKS:
            marks += 1
            yield character if marks <= STACKED else REPLACED
        else:
            marks = STACKED if character == " " else 0
            yield character


def columns(text: str) -> int:
    """How many columns of a terminal a cleaned text takes: two for a wide character, none for a combining one."""
    if text.isascii():
        return len(text)
    return sum(_columns(character) for character in text)


@lru_cache(maxsize=4096)
def _columns(character: str) -> int:
    if character < FIRST_MARK or character in ONE_COLUMN:
        return 1
    from wcwidth import wcwidth  # noqa: PLC0415 - 45 ms that a page in English does not pay

    return max(0, wcwidth(character))


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Break a cleaned text into lines of at most `width` columns, at blanks where there are any.

    `first` opens the first line, `rest` the others; an opening that leaves no room for two columns is left out.
    """
    if width - max(columns(first), columns(rest)) < 2:
        first = rest = ""
    lines: list[str] = []
    line, empty = first, True
    for word in text.split():
        if not empty and columns(line) + 1 + columns(word) <= width:
            line += f" {word}"
            continue
        if not empty:
            lines.append(line)
            line = rest
        while columns(line) + columns(word) > width:
            head = _head(word, width - columns(line))
            lines.append(line + head)
            line, word = rest, word[len(head) :]  # noqa: PLW2901 - what is left of it
        line, empty = line + word, False
    return [*lines, line]


def _head(word: str, width: int) -> str:
    """The longest beginning of a word that fits, at least one character."""
    taken = 0
    for index, character in enumerate(word):
        taken += _columns(character)
        if taken > width:
            return word[: max(1, index)]
    return word
