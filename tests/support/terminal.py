"""A program on a terminal of a given size: keys go in, and what a person would see comes out."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping, Sequence

import pexpect
import pyte

PATIENCE = 20.0
"""Seconds to wait for something to appear; only reached when it never does."""


MOMENT = 0.3
"""Seconds before keys are pressed: a word for a caution that comes sooner after its page is not taken."""


class Terminal:
    """Runs a command on a pseudo-terminal and keeps its screen. `raw` is every byte the command has written."""

    def __init__(
        self, command: Sequence[str], rows: int = 24, width: int = 80, env: Mapping[str, str] | None = None
    ) -> None:
        self._screen = pyte.Screen(width, rows)
        self._stream = pyte.ByteStream(self._screen)
        surroundings = {"PATH": os.environ.get("PATH", ""), "TERM": "xterm-256color", "LANG": "C.UTF-8", **(env or {})}
        self.raw = b""
        self.process = pexpect.spawn(
            command[0], list(command[1:]), dimensions=(rows, width), env=surroundings, timeout=PATIENCE
        )
        self.process.delaybeforesend = None

    @property
    def lines(self) -> list[str]:
        """The screen, row by row, without trailing blanks."""
        return [line.rstrip() for line in self._screen.display]

    @property
    def text(self) -> str:
        """The screen as one text."""
        return "\n".join(self.lines)

    def read(self, seconds: float) -> bool:
        """Take what has come within so many seconds; false when the program has ended."""
        try:
            chunk = self.process.read_nonblocking(65536, seconds)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.raw += chunk
        self._stream.feed(chunk)
        return True

    def wait_for(self, *wanted: str, gone: str = "") -> None:
        """Read until all of `wanted` is on the screen and `gone` is not."""
        end = time.monotonic() + PATIENCE
        while not (all(text in self.text for text in wanted) and (not gone or gone not in self.text)):
            alive = self.read(0.05)
            assert alive or all(text in self.text for text in wanted), f"ended without {wanted}:\n{self.text}"
            assert time.monotonic() < end, f"{wanted} never came:\n{self.text}"

    def send(self, keys: str) -> None:
        """Press keys, after the moment that a person needs to look."""
        self.settle(MOMENT)
        self.process.send(keys)

    def settle(self, seconds: float = 0.3) -> None:
        """Read whatever comes in a while."""
        end = time.monotonic() + seconds
        while time.monotonic() < end and self.read(0.05):
            pass

    def resize(self, rows: int, width: int) -> None:
        """Change the size, as dragging the window does."""
        self._screen.resize(rows, width)
        self.process.setwinsize(rows, width)

    def end(self) -> int:
        """Read to the end; the exit code, or minus the signal that ended it."""
        end = time.monotonic() + PATIENCE
        while self.read(0.1):
            assert time.monotonic() < end, f"did not end:\n{self.text}"
        self.process.close()
        return self.process.exitstatus if self.process.exitstatus is not None else -int(self.process.signalstatus or 0)
