"""The one way out to a terminal: whatever is written goes through here, and is made harmless here.

Nothing that came from a file, a name, a note, a script, the job file, the environment or the command line is written as
it came: `lines` takes out whatever a terminal could take for a command, and says so where it cuts what is too long to
read. A frame that is drawn with control codes may use those of `OWN` and no others. No other module may write to a
terminal; `tests/test_architecture.py` holds them to it.
"""

from __future__ import annotations

import io
import os
import re
import sys

from coldiron.plaintext import clean

TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import TracebackType
    from typing import TextIO

WIDTH = 80
"""Columns where the output is no terminal, so that a transcript is the same everywhere."""

LONGEST = 2_000
"""Characters of one line of output; of a longer one only the beginning is written."""

OWN = re.compile(r"(\x1b\[(?:[0-9;]*[mHJ]|\?1049[hl]))")
"""The control codes that a drawn page may use (ECMA-48): looks, places, clearing, and the terminal's second page."""


def lines(text: str) -> str:
    """The text with every line of it harmless and no line without end; the ends of lines stay."""
    return "\n".join(map(_line, text.split("\n")))


def _line(text: str) -> str:
    return clean(text if len(text) <= LONGEST else f"{text[:LONGEST]} ... ({len(text)} characters)")


def frame(text: str) -> str:
    """A drawn page: its own control codes stay, all else is made harmless."""
    return "".join(part if place % 2 else lines(part) for place, part in enumerate(OWN.split(text)))


def tell(text: str = "", *, error: bool = False) -> None:
    """Write a command's own words, one line or several, to the output or to where errors go.

    Raises:
        OSError: it cannot be written; whoever read it may have left.
    """
    out = sys.stderr if error else sys.stdout
    if out is not None:
        out.write(_held(lines(text), out) + "\n")


def record(text: str) -> None:
    """Write one line for another program, whole however long it is.

    Raises:
        OSError: it cannot be written; whoever read it may have left.
    """
    if sys.stdout is not None:
        sys.stdout.write(_held(clean(text), sys.stdout) + "\n")


def ask(text: str) -> bool:
    """Write words and wait for Enter; false when nobody is there to press it."""
    sys.stdout.write(lines(text))
    sys.stdout.flush()
    return bool(sys.stdin.readline())


def answered(text: str) -> str:
    """Write words and return the line that is typed; empty when nobody is there."""
    sys.stdout.write(lines(text))
    sys.stdout.flush()
    return sys.stdin.readline().strip() if sys.stdin is not None else ""


def paint(text: str) -> None:
    """Write a drawn page at once."""
    sys.stdout.write(frame(text))
    sys.stdout.flush()


def size() -> tuple[int, int]:
    """Columns and rows of the terminal.

    Raises:
        OSError: the output is none.
    """
    return os.get_terminal_size(sys.stdout.fileno())


def is_one() -> bool:
    """Whether a person sits there: input and output are a terminal."""
    return bool(sys.stdin and sys.stdin.isatty() and sys.stdout and sys.stdout.isatty())


def errors_are_seen() -> bool:
    """Whether a person reads what goes to where errors go."""
    return sys.stderr is not None and sys.stderr.isatty()


def fell(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    """Tell of a mistake of the program's own, for `sys.excepthook`: its words may hold a text from outside."""
    import traceback  # noqa: PLC0415 - 3 ms that a start without mistakes does not pay

    tell("".join(traceback.format_exception(kind, error, trace)).rstrip("\n"), error=True)


def _held(text: str, out: TextIO) -> str:
    """The text as the encoding of an output can hold it."""
    encoding = out.encoding or "utf-8"
    return text.encode(encoding, "replace").decode(encoding)


class Paper:
    """Where lines are written: whatever the encoding cannot hold is replaced, and a reader that left is no error.

    Args:
        out: where to; the output if not given, nowhere if that is closed.
    """

    def __init__(self, out: TextIO | None = None) -> None:
        self._out = out or sys.stdout or io.StringIO()
        self.gone = False

    @property
    def width(self) -> int:
        """Columns to draw in."""
        try:
            return os.get_terminal_size(self._out.fileno()).columns or WIDTH
        except (OSError, ValueError):
            return WIDTH

    def write(self, text: str) -> None:
        """Write and hand on at once."""
        if self.gone:
            return
        try:
            self._out.write(_held(lines(text), self._out))
            self._out.flush()
        except (OSError, ValueError):
            self.gone = True
            self._drop()

    def _drop(self) -> None:
        """Send what is still buffered nowhere, or the interpreter would complain of it when it ends."""
        try:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self._out.fileno())
            os.close(nowhere)
        except (OSError, ValueError):
            return
