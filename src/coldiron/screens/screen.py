"""The terminal screen: one page at a time, the place to type always in view, the words of the key bar below it.

The page is drawn anew for whatever size the terminal has. Where it does not fit, Enter on an empty line turns over; it
never accepts anything. A caution that has not been on screen to its last line holds every answer back.
"""

from __future__ import annotations

import asyncio
import signal
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from prompt_toolkit.application import Application
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.layout import BufferControl, FormattedTextControl, HSplit, Layout, VSplit, Window
from prompt_toolkit.styles import Style

from coldiron.plaintext import clean
from coldiron.screens.ahead import Ahead
from coldiron.screens.drawing import PageRow, Span, draw
from coldiron.screens.frame import LOOKS, Frame, frame_of
from coldiron.screens.lines import NOT_READ, SETTLE, Driver, End, Page, Prompt, Reply, Save, park, take
from coldiron.screens.meaning import plain
from coldiron.screens.view import View
from coldiron.terminal import frame, lines

if TYPE_CHECKING:
    from prompt_toolkit.formatted_text import StyleAndTextTuples
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output


class _Screen:
    """One run of the terminal screen: what is shown, and what each key does."""

    def __init__(
        self, driver: Driver, save: Save, source: Input | None, output: Output | None, clock: Callable[[], float]
    ) -> None:
        self._save = save
        self._clock = clock
        self._ahead = Ahead()
        self._buffer = Buffer(multiline=False, on_text_changed=_harmless)
        self._frame = Frame()
        self._closed = False
        self._show(driver)
        self._app: Application[End] = Application(
            layout=self._layout(),
            key_bindings=self._keys(),
            style=Style.from_dict(LOOKS),
            full_screen=True,
            input=source,
            output=output,
            before_render=lambda _: self._compose(),
        )

    def run(self, before: str = "") -> End:
        """Run until the page asks for nothing more or the consultation is parked, then leave the last page behind."""
        self._app.output.write_raw(frame(before))
        try:
            end = End("over", self._driver) if self._prompt is None else self._app.run(pre_run=self._listen)
        finally:
            self._ahead.stop()
        page = end.driver.page()
        if page.prompt is None:
            self._leave_behind(page)
        return end

    def _leave_behind(self, page: Page) -> None:
        output = self._app.output
        rows = draw(page.blocks, output.get_size().columns)
        try:
            output.write(lines("".join(f"{line}\n" for line in (page.title, "", *(row.text for row in rows)))))
            output.flush()
        except OSError:  # the terminal has gone
            return

    def _listen(self) -> None:
        """Hang-up and termination park, as Ctrl-C does. Only the main thread may listen, and not every system can."""
        loop = asyncio.get_running_loop()
        for name in ("SIGHUP", "SIGTERM"):
            try:
                loop.add_signal_handler(getattr(signal, name), self._park)
            except (AttributeError, NotImplementedError, RuntimeError, ValueError):
                return

    # What is shown

    def _show(self, driver: Driver) -> None:
        """Show the page of a driver from its top, with an empty line to type in."""
        self._driver = driver
        page = driver.page()
        self._title, self._prompt = page.title, page.prompt
        keys = {key for key, _ in page.choices}
        single = page.prompt is not None and page.prompt.one_key and all(len(k) == 1 and k.isdecimal() for k in keys)
        self._single_keys = keys if single else set()
        self._page = View(page.blocks)
        self._reply: View | None = None
        self._message: list[str] = []
        self._changed = self._clock()
        self._drawn: float | None = None  # when the page first stood on the screen
        self._buffer.reset()
        self._ahead.begin(driver)

    @property
    def _view(self) -> View:
        return self._reply or self._page

    def _compose(self) -> None:
        size = self._app.output.get_size()
        prompt, reply = self._prompt or Prompt(""), self._reply is not None
        self._frame = frame_of(self._title, prompt, self._view, (size.rows, size.columns), self._message, reply=reply)
        if self._drawn is None:
            self._drawn = self._clock()

    def _layout(self) -> Layout:
        def fixed(lines: Callable[[], list[str]], style: str) -> Window:
            control = FormattedTextControl(lambda: [("", "\n".join(lines()))])
            return Window(control, height=lambda: len(lines()), style=style)

        label = FormattedTextControl(lambda: [("class:label", self._frame.label)])
        page = FormattedTextControl(lambda: _fragments(self._frame.rows))
        line = Window(BufferControl(self._buffer), height=1)
        root = HSplit(
            [
                fixed(lambda: self._frame.title, "class:title"),
                Window(page),
                fixed(lambda: self._frame.message, "class:message"),
                VSplit([Window(label, dont_extend_width=True, height=1), line]),
                fixed(lambda: self._frame.words, "class:bar"),
            ]
        )
        return Layout(root, focused_element=line)

    # What keys do

    def _keys(self) -> KeyBindings:
        keys = KeyBindings()
        empty = Condition(lambda: not self._buffer.text)
        single = Condition(lambda: not self._buffer.text and bool(self._single_keys) and self._reply is None)
        keys.add("enter")(lambda _: self._entered(self._buffer.text))
        for figure in "0123456789":
            keys.add(figure, filter=single)(self._pressed)
        keys.add("c-c")(lambda _: self._park())
        keys.add(Keys.SIGINT)(lambda _: self._park())
        keys.add("c-d", filter=empty)(lambda _: self._park())
        keys.add("pagedown")(lambda _: self._view.turn(1))
        keys.add("pageup")(lambda _: self._view.turn(-1))
        keys.add("down")(lambda _: self._view.scroll(1))
        keys.add("up")(lambda _: self._view.scroll(-1))
        keys.add(Keys.BracketedPaste)(self._pasted)
        return keys

    def _pasted(self, event: KeyPressEvent) -> None:
        """Only the first line of what is pasted, and nothing of it is taken before Enter."""
        lines = event.data.strip().splitlines()
        self._buffer.insert_text(lines[0] if lines else "")

    def _pressed(self, event: KeyPressEvent) -> None:
        """A figure where one key chooses: taken at once if it is a choice, else the beginning of something typed."""
        if event.data not in self._single_keys:
            self._buffer.insert_text(event.data)
        elif self._clock() - self._changed >= SETTLE:
            self._entered(event.data)

    def _entered(self, text: str) -> None:
        if not text.strip():
            self._turn_over()
        elif self._page.unread and plain(text.strip(), ()).lower() not in (self._prompt.words if self._prompt else ()):
            self._hold(text)
        else:
            self._guarded(lambda: self._take(text))

    def _hold(self, text: str) -> None:
        """Turn over to what is unread. A reading stays in the line until then; a word for a caution does not."""
        self._reply = None
        self._page.turn(1)
        if self._prompt and self._prompt.guards:
            self._buffer.reset()
            self._message = ["Read to the end of the caution first, then type it again."]
        else:
            self._buffer.document = Document(text)
            self._message = ["Read to the end of the caution first. What you typed is kept: Enter goes on."]

    def _unread(self) -> str:
        """Why a line cannot acknowledge a caution: it was there before the page, as pasted lines are."""
        now = self._clock()
        if self._drawn is not None and now - self._drawn >= SETTLE:
            return ""
        self._drawn = now if self._drawn is not None else None  # what goes on coming in acknowledges nothing
        return NOT_READ

    def _turn_over(self) -> None:
        self._message = []
        if self._view.more:
            self._view.turn(1)
        elif self._reply:
            self._reply = None
        else:
            self._view.to_top()

    def _take(self, text: str) -> None:
        self._ahead.stop()
        step = take(self._driver, text, self._save, self._unread() if self._prompt and self._prompt.guards else "")
        if not isinstance(step, Reply):
            self._show(step)
            if self._prompt is None:
                self._close(End("over", step))
            return
        self._ahead.begin(self._driver)
        if step.refused:
            self._message = [row.text for row in draw(step.blocks, self._app.output.get_size().columns, tight=True)]
            self._buffer.document = Document()
        else:
            self._message, self._reply = [], View(step.blocks)
            self._buffer.reset()

    def _park(self) -> None:
        def parked() -> None:
            self._ahead.stop()
            driver = park(self._driver, self._save)
            self._show(driver)
            self._close(End("parked", driver))

        self._guarded(parked)

    def _guarded(self, action: Callable[[], None]) -> None:
        """Whatever goes wrong ends the screen and is raised to its caller, with the terminal as it was before."""
        try:
            action()
        except Exception as error:  # noqa: BLE001 - handed on whole
            if not self._closed:
                self._closed = True
                self._app.exit(exception=error)

    def _close(self, end: End) -> None:
        if not self._closed:
            self._closed = True
            self._app.exit(result=end)


def _harmless(buffer: Buffer) -> None:
    """Keep what no terminal should be sent out of the line that is typed in."""
    if clean(buffer.text) != buffer.text:
        buffer.document = Document(clean(buffer.text), buffer.cursor_position)


def _fragments(rows: list[PageRow]) -> StyleAndTextTuples:
    """Rows as fragments. Text never goes through any mark-up."""
    end = Span("", "\n")
    spans = [span for row in rows for span in (*row.spans, end)]
    return [(f"class:{span.style}" if span.style else "", span.text) for span in spans[:-1]]


def run(
    driver: Driver,
    save: Save,
    source: Input | None = None,
    output: Output | None = None,
    clock: Callable[[], float] = time.monotonic,
    *,
    before: str = "",
) -> End:
    """Run a consultation on a terminal.

    Args:
        driver: the consultation.
        save: commits what is answered, see `coldiron.screens.lines`.
        source: where keys come from; the terminal if not given.
        output: where the page goes; the terminal if not given.
        clock: seconds, to tell a key held down from two presses.
        before: control codes for the terminal, sent together with the first page.

    Raises:
        StoreTrouble: an answer could not be committed; it was not shown as saved.
    """
    return _Screen(driver, save, source, output, clock).run(before)
