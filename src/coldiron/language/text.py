"""Bytes of a rule file to lines of text: encoding, line ends, and characters that have no business there.

A rule file is UTF-8. A byte order mark at the start is passed over and not counted. Lines end with LF or CR LF. A tab
counts as one column. Control characters, characters that turn the direction of writing, and blanks other than space
and tab are problems: they make a line look different from what it says.
"""

from __future__ import annotations

from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.language.files import MOST_BYTES
from coldiron.mistakes import mistake

MOST_COLUMNS = 2_000
"""Characters of a line: nobody reads a longer one, and the parser would take long over it."""
MOST_LINES = 20_000
"""More than a file of `MOST_BYTES` has, unless hardly anything stands on its lines."""


def decode(file: str, data: bytes) -> tuple[str, tuple[Problem, ...]]:
    """Return the text of a file, without a byte order mark; no text and one problem if it is not UTF-8 or too long.

    Lines count as well as bytes: each takes its time, however short it is.
    """
    if len(data) > MOST_BYTES:
        return "", (mistake("file-too-long", Place(file, 1, 1, 1), most=MOST_BYTES),)
    if data.count(b"\n") > MOST_LINES:
        return "", (mistake("too-many-lines", Place(file, 1, 1, 1), most=MOST_LINES),)
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError as fault:
        before = fault.object[: fault.start]
        line = before.count(b"\n") + 1
        column = len(before.rpartition(b"\n")[2].decode("utf-8-sig" if line == 1 else "utf-8")) + 1
        byte = f"{fault.object[fault.start]:02X}"
        return "", (mistake("not-utf8", Place(file, line, column, column + 1), byte=byte),)


def split(text: str) -> list[str]:
    """Return the lines of a text without their ends."""
    lines = text.split("\n")
    return [line.removesuffix("\r") for line in lines[:-1]] + lines[-1:]


def strange(file: str, number: int, line: str) -> Problem | None:
    """Return the problem of a line that cannot be read for its characters or its length, or nothing."""
    if len(line) > MOST_COLUMNS:
        place = Place(file, number, MOST_COLUMNS + 1, len(line) + 1)
        return mistake("line-too-long", place, most=MOST_COLUMNS)
    if line.replace("\t", " ").isprintable():
        return None
    column, letter = next(
        (at, letter) for at, letter in enumerate(line, 1) if not (letter.isprintable() or letter == "\t")
    )
    place = Place(file, number, column, column + 1)
    if letter.isspace() and letter not in "\r\n\v\f\x1c\x1d\x1e\x1f\x85":
        return mistake("strange-blank", place, code=f"U+{ord(letter):04X}")
    return mistake("strange-character", place, code=f"U+{ord(letter):04X}")
