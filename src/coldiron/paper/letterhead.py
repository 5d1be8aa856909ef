"""The head of a shop's papers: lines of its own, from a text file in the folder of its jobs."""

from __future__ import annotations

from coldiron.bounded import UnreadableError, text_of
from coldiron.jobs.home import home

FILE = "letterhead.txt"

MOST_LINES = 6
LONGEST = 90
"""Lines that stand at the head of a paper, and characters of each: more would push the job off the first page."""


def letterhead() -> tuple[tuple[str, ...], str]:
    """Return the lines of the head, the shop's name first, and what is wrong with the file; each may be empty."""
    path = home() / FILE
    if not path.is_file():
        return (), ""
    try:
        text = text_of(path)
    except UnreadableError as error:
        return (), str(error)
    lines = [" ".join(line.split()) for line in text.splitlines()]
    return tuple(line[:LONGEST] for line in lines if line)[:MOST_LINES], ""
