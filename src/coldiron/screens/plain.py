"""The plain screen: lines out, lines in. For pipes, files, dumb terminals and screen readers.

It never writes an escape byte, moves no cursor and draws over nothing. What was read from a file or a pipe is written
out again, so that the output alone can be followed.
"""

from __future__ import annotations

import io
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from types import FrameType
from typing import Literal, TextIO

from coldiron.plaintext import clean, columns, one_line, wrap
from coldiron.screens.ahead import thinking
from coldiron.screens.drawing import bar, draw
from coldiron.screens.lines import NOT_READ, SETTLE, Block, Driver, End, Page, Prompt, Reply, Save, Text, park, take
from coldiron.terminal import Paper

TITLE = 400
"""Characters of a title that are shown: a job may have been given any name."""

LONGEST = 4096
"""Characters of one line that are looked at."""


class _Interrupted(BaseException):
    """Ctrl-C, hang-up or termination while waiting for a line."""


class _Interrupts:
    """Lets an interruption in only while a line is waited for, never between a commit and what follows from it."""

    def __init__(self) -> None:
        self._waiting = False
        self._pending = False

    def _handle(self, _number: int, _frame: FrameType | None) -> None:
        if self._waiting:
            self._waiting = False
            raise _Interrupted
        self._pending = True

    @contextmanager
    def handled(self) -> Iterator[None]:
        """Take the signals over, in the main thread; elsewhere they are left alone."""
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        names = ("SIGINT", "SIGTERM", "SIGHUP")
        numbers = [getattr(signal, name) for name in names if hasattr(signal, name)]
        before = {number: signal.signal(number, self._handle) for number in numbers}
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)

    def line(self, source: TextIO) -> str:
        """The next line, with its end; empty when there is none any more.

        Raises:
            _Interrupted: a signal came, now or since the last line.
        """
        self._waiting = True
        try:
            if self._pending:
                raise _Interrupted
            line = more = source.readline(LONGEST)
            while more and not more.endswith("\n"):  # the rest of a line too long is no answer of its own
                more = source.readline(LONGEST)
            return line
        finally:
            self._waiting = False


class _Plain:
    """One run of the plain screen."""

    def __init__(self, save: Save, source: TextIO, out: TextIO | None, clock: Callable[[], float]) -> None:
        self._save = save
        self._source = source
        self._clock = clock
        self._paper = Paper(out)
        self._echo = not source.isatty()
        self._words: tuple[str, ...] = ()
        self._title = ""
        self._interrupts = _Interrupts()

    def run(self, driver: Driver) -> End:
        """Show pages and take lines until a page asks for nothing more, or the input ends."""
        with self._interrupts.handled():
            while (prompt := self._show(driver)) is not None:
                try:
                    step = self._asked(driver, prompt)
                except _Interrupted:
                    return self._leave(driver, "parked")
                if step is None:
                    return self._leave(driver, "ended" if self._echo else "parked")
                driver = step
        return End("over", driver)

    def _leave(self, driver: Driver, how: Literal["parked", "ended"]) -> End:
        self._paper.write("\n")
        parked = park(driver, self._save)
        if parked is not driver:
            self._show(parked)
        return End(how, parked)

    def _show(self, driver: Driver) -> Prompt | None:
        page = driver.page()
        title = "\n".join(wrap(one_line(page.title, TITLE), self._paper.width))
        self._paper.write("\n" if page.title == self._title else f"\n{title}\n\n")
        self._title = page.title
        self._rows(page.blocks)
        if page.prompt:
            if page.prompt.guards and self._echo:
                self._rows((Text(f"In a file or a pipe: {page.prompt.guards} and the word."),))
            self._tell_words(page.prompt.words)
        return page.prompt

    def _rows(self, blocks: tuple[Block, ...]) -> None:
        self._paper.write(_drawn(blocks, self._paper.width))

    def _tell_words(self, words: tuple[str, ...]) -> None:
        if words == self._words or not words:
            return
        self._words = words
        lines = bar(words, self._paper.width - 2)
        self._paper.write("\nAt any prompt you can also type:\n" + "".join(f"  {line}\n" for line in lines))

    def _asked(self, driver: Driver, prompt: Prompt) -> Driver | None:
        """The driver after the next line that it takes; None when there are no more lines."""
        opening = f"{clean(prompt.label)} > "
        while not self._paper.gone:
            self._paper.write(f"\n{opening}")
            shown = self._clock()
            with self._thinking(driver):
                line = self._interrupts.line(self._source)
            at_once = self._clock() - shown < SETTLE
            if not line:
                return None
            text = line.rstrip("\r\n").encode("utf-8", "replace").decode()
            if self._echo:
                self._paper.write(f"{clean(text)}\n")
            named = bool(prompt.guards) and text.strip().startswith(f"{prompt.guards} ")
            unread = "" if named and self._echo else self._unread(prompt, at_once=at_once)
            step = take(driver, text, self._save, unread)
            if not isinstance(step, Reply):
                return step
            self._reply(step, columns(opening), text)
        return None

    def _unread(self, prompt: Prompt, *, at_once: bool) -> str:
        """Why a line cannot acknowledge a caution: it comes from a file and names none, or it was there before it."""
        if not prompt.guards:
            return ""
        if self._echo:
            return f"In a file or a pipe, name the caution first: {prompt.guards} and the word."
        return NOT_READ if at_once else ""

    def _thinking(self, driver: Driver) -> AbstractContextManager[None]:
        """While a person types, what may follow is worked out; lines of a pipe or a file come at once."""
        if self._echo:
            return nullcontext()
        return thinking(driver)

    def _reply(self, reply: Reply, indent: int, text: str) -> None:
        if reply.refused and reply.place:
            self._paper.write(" " * (indent + columns(clean(text[: reply.place - 1]))) + "^\n")
        self._rows(reply.blocks)


def _drawn(blocks: tuple[Block, ...], width: int) -> str:
    """Blocks as rows, one a line."""
    return "".join(f"{row.text.rstrip()}\n" for row in draw(blocks, width))


def show(page: Page, out: TextIO | None = None) -> None:
    """Write one page, once."""
    paper = Paper(out)
    paper.write(f"{one_line(page.title, TITLE)}\n\n")
    paper.write(_drawn(page.blocks, paper.width))


def run(
    driver: Driver,
    save: Save,
    source: TextIO | None = None,
    out: TextIO | None = None,
    clock: Callable[[], float] = time.monotonic,
) -> End:
    """Run a consultation on plain lines.

    Args:
        driver: the consultation.
        save: commits what is answered, see `coldiron.screens.lines`.
        source: where lines come from; standard input if not given, nothing if that is closed.
        out: where lines go; standard output if not given.
        clock: seconds, to tell a line that was there before its page from one typed at it.

    Raises:
        StoreTrouble: an answer could not be committed; it was not shown as saved.
    """
    source = source or sys.stdin or io.StringIO()
    if isinstance(source, io.TextIOWrapper):
        source.reconfigure(errors="replace")
    return _Plain(save, source, out, clock).run(driver)
