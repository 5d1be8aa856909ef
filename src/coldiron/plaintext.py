"""Text at the border to a screen: made harmless, measured in columns, and wrapped.

Rule files and readings come from anywhere. Whatever a terminal could take for a command, or that would show letters in
another order than they stand in, is replaced before it is drawn.
"""

from __future__ import annotations

import unicodedata

REPLACED = "\N{REPLACEMENT CHARACTER}"

_WIDE_SINCE_UNICODE_16 = (
    ("\u2630", "\u2637"),
    ("\u268a", "\u268f"),
    ("\u4dc0", "\u4dff"),
    ("\U0001d300", "\U0001d376"),
    ("\U0001f1e6", "\U0001f1ff"),
)
"""First and last of what newer terminals draw wide and this Python may not know to be so; better too wide than cut."""


def clean(text: str) -> str:
    """The text on one line with only characters that can be seen: each other one replaced, blanks of all sorts a blank.

    That takes out control characters (C0 and C1, so also escape sequences), marks of writing direction, invisible
    characters, halves of surrogate pairs, and code points that mean nothing.
    """
    if text.isprintable():
        return text
    return "".join(
        character if character.isprintable() else " " if character.isspace() else REPLACED for character in text
    )


def columns(text: str) -> int:
    """How many columns of a terminal a cleaned text takes: two for a wide character, none for a combining one."""
    if text.isascii():
        return len(text)
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me") or "\u1160" <= character <= "\u11ff":
        return 0
    if unicodedata.east_asian_width(character) in "WF":
        return 2
    return 2 if any(first <= character <= last for first, last in _WIDE_SINCE_UNICODE_16) else 1


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
