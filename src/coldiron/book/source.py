"""Places in text: where an entry of the book, or a mistake in it, stands."""

from __future__ import annotations

from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """One stretch of one line of a rule file.

    `line` and `column` count from 1; columns count characters of the file as it is stored (a tab is one). `end` is the
    column just after the last marked character, so an empty stretch has `end == column`.
    """

    file: str
    line: int
    column: int
    end: int

    def __str__(self) -> str:
        """`file:line:column`, as it opens every message."""
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Place("", 0, 0, 0)
"""The place of a thing made by code, not read from a file."""
