"""The first page on a terminal, drawn before the library of the screen is loaded.

Loading it takes longer than all else until the first page. So the page is read while it loads; keys struck meanwhile
wait in the terminal and are taken by the screen.
"""

from __future__ import annotations

import os

from coldiron import terminal
from coldiron.plaintext import columns
from coldiron.screens.frame import LOOKS, Frame, frame_of
from coldiron.screens.lines import Prompt
from coldiron.screens.view import View

TYPE_CHECKING = False
if TYPE_CHECKING:
    from coldiron.screens.lines import Driver, End, Page, Save

AHEAD, AWAY = "\x1b[?1049h", "\x1b[?1049l"
"""To the terminal's second page, where the screen draws, and back from it."""

CODES = {"bold": "1", "reverse": "7", "ansired": "31", "ansigreen": "32", "ansiyellow": "33", "ansiblue": "34"}
"""Select Graphic Rendition, ECMA-48 section 8.3.117."""


def run(driver: Driver, save: Save) -> End:
    """Run a consultation on the terminal, its first page drawn at once.

    Raises:
        StoreTrouble: an answer could not be committed; it was not shown as saved.
    """
    page = driver.page()
    drawn = page.prompt is not None and os.name == "posix"
    try:
        if drawn:
            terminal.paint(AHEAD + painted(page, terminal.size()))
        from coldiron.screens import screen  # noqa: PLC0415 - the point of this module
    except BaseException:
        terminal.paint(AWAY if drawn else "")
        raise
    return screen.run(driver, save, before=AWAY if drawn else "")


def painted(page: Page, size: tuple[int, int]) -> str:
    """Return a page as a terminal takes it, the cursor left at the place to type.

    Args:
        page: one that asks for something.
        size: columns and rows.
    """
    width, height = size
    prompt = page.prompt or Prompt("")
    frame = frame_of(page.title, prompt, View(page.blocks), (height, width), [], reply=False)
    return _painted(frame, width, height)


def _painted(frame: Frame, width: int, height: int) -> str:
    top = [_whole(line, "title", width) for line in frame.title]
    middle = ["".join(_looking(span.text, span.style) for span in row.spans) for row in frame.rows]
    message = [_looking(line, "message") for line in frame.message]
    below = [*message, _looking(frame.label, "label"), *(_whole(line, "bar", width) for line in frame.words)]
    rows = dict(enumerate([*top, *middle], 1)) | dict(enumerate(below, height - len(below) + 1))
    place = f"\x1b[{height - len(frame.words)};{columns(frame.label) + 1}H"
    return "\x1b[0m\x1b[2J" + "".join(f"\x1b[{row};1H{line}" for row, line in rows.items()) + place


def _whole(line: str, style: str, width: int) -> str:
    """A line whose look goes on to the edge."""
    return _looking(line + " " * (width - columns(line)), style)


def _looking(text: str, style: str) -> str:
    words = LOOKS.get(style, "").split()
    colours = not os.environ.get("NO_COLOR")
    codes = [CODES[word] for word in words if colours or not word.startswith("ansi")]
    return f"\x1b[{';'.join(codes)}m{text}\x1b[0m" if codes else text
