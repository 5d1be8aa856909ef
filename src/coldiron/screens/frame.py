"""What stands on a terminal, row by row, and how each kind of text looks; needs no library."""

from __future__ import annotations

from coldiron.plaintext import one_line, wrap
from coldiron.record import dataclass, field
from coldiron.screens.drawing import PageRow, bar
from coldiron.screens.lines import Prompt
from coldiron.screens.view import View

SMALL = 8
"""A terminal of fewer rows gets no title, and one row of words."""

LOOKS = {
    "title": "reverse",
    "heading": "bold",
    "label": "bold",
    "danger": "bold reverse ansired",
    "warning": "bold ansired",
    "caution": "bold ansiyellow",
    "notice": "bold ansiblue",
    "avoid": "bold",
    "share": "bold",
    "key": "bold",
    "saved": "ansigreen",
    "message": "bold",
    "bar": "reverse",
}
"""How each kind of text looks, in the words of the screen's library."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands on the terminal, row by row; the place to type comes after `label`, between `message` and `words`."""

    title: list[str] = field(default_factory=list)
    rows: list[PageRow] = field(default_factory=list)
    message: list[str] = field(default_factory=list)
    label: str = ""
    words: list[str] = field(default_factory=list)


def frame_of(title: str, prompt: Prompt, view: View, size: tuple[int, int], said: list[str], *, reply: bool) -> Frame:
    """Share out the rows of a terminal: the page gets what title, message, line and key bar leave.

    Args:
        title: of the page.
        prompt: the place to type.
        view: the page, or the reply that stands over it (`reply`).
        size: rows and columns of the terminal.
        said: lines of a message; without any, how to read on.
        reply: whether Enter leads back to the question.
    """
    height, width = size
    words, titles = bar(prompt.words, width), [cut(title, width)]
    if height < SMALL:
        words, titles = words[:1], []
    message = said[: max(1, height // 2)]
    rows = view.show(width, height - len(titles) - max(1, len(message)) - 1 - len(words))
    message = message or [cut(_hint(view, reply=reply), width)]
    return Frame(titles, rows, message, cut(prompt.label, width // 2) + " > ", words)


def _hint(view: View, *, reply: bool) -> str:
    if view.more:
        return "More below: press Enter."
    if reply:
        return "Enter goes back to the question."
    return "" if view.at_top else "More above: press Page Up."


def cut(text: str, width: int) -> str:
    """Return as much of a text as one line holds."""
    return wrap(one_line(text, max(2, width) + 1), max(2, width))[0]
