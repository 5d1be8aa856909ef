"""The terminal screen: the same consultation as on plain lines, on a page that fits any terminal."""

from __future__ import annotations

import io
import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import StoreTrouble, trouble
from coldiron.plaintext import columns
from coldiron.screens.lines import Block, End, Page, Text
from coldiron.screens.plain import run as run_plain
from coldiron.screens.screen import run
from support.terminal import Terminal
from support.toy_driver import DANGER, Toy

TOY = [sys.executable, str(Path(__file__).parents[1] / "support" / "toy_driver.py"), "screen"]
ENTER, CTRL_C, CTRL_D, PAGE_DOWN = "\r", "\x03", "\x04", "\x1b[6~"
LONG: tuple[Block, ...] = tuple(Text(f"line {number}") for number in range(40))


class Warned(Toy):
    """A job whose readings have a caution at the end of a long page."""

    __slots__ = ()

    def page(self) -> Page:
        page = Toy.page(self)
        return page._replace(blocks=(*LONG[:20], DANGER, *page.blocks))


class Sized(DummyOutput):
    """An output of a given size that shows nothing."""

    def __init__(self, rows: int = 24, width: int = 80) -> None:
        self._size = Size(rows=rows, columns=width)

    def get_size(self) -> Size:
        return self._size


class Ticking:
    """A clock that goes on by a step whenever it is read."""

    def __init__(self, step: float) -> None:
        self._step, self._now = step, 0.0

    def __call__(self) -> float:
        self._now += self._step
        return self._now


def press(keys: str, driver: Toy | None = None, rows: int = 24, step: float = 1.0) -> tuple[End, list[Entry]]:
    """Run on keys, then Ctrl-C: how it ended and what was saved."""
    saved: list[Entry] = []
    with create_pipe_input() as source, create_app_session(input=source):
        source.send_text(keys + CTRL_C)
        return run(driver or Toy(), saved.extend, source, Sized(rows), Ticking(step)), saved


def values(saved: list[Entry]) -> list[str]:
    return [entry.value for entry in saved if entry.kind != "park"]


def test_a_whole_consultation() -> None:
    """Typed words, one key for a choice, typed readings."""
    end, saved = press("chocked\r112.6\r0,3 V\r")
    assert (end.how, values(saved)) == ("over", ["chocked", "1", "12.6", "0,3 V"])


def test_same_log_as_on_plain_lines() -> None:
    """The same answers, slips included, leave the same log on both screens."""
    on_lines: list[Entry] = []
    run_plain(Toy(), on_lines.extend, io.StringIO("no\ncrank chocked\n2\nback\n1\n12..6\n12.6\n"), io.StringIO())
    _, on_screen = press("no\rchocked\r2back\r112..6\r12.6\r")
    assert on_screen == on_lines


@pytest.mark.parametrize("rows", [6, 24, 60])
def test_enter_alone_accepts_nothing(rows: int) -> None:
    """However often Enter is pressed, at any height, no caution is acknowledged, no reading and no choice taken."""
    for log in ((), (Entry("ack", "crank", "chocked"),), (Entry("ack", "crank", "chocked"), Entry("answer", "c", "1"))):
        _, saved = press(ENTER * 30, Toy(log), rows)
        assert values(saved) == []


def test_a_key_held_down_answers_one_question() -> None:
    """Keys that come faster than a page can be read do not run through the questions that follow."""
    acknowledged = Toy((Entry("ack", "crank", "chocked"),))
    _, slow = press("1", acknowledged)
    _, held = press("111", acknowledged, step=0.01)
    assert values(slow) == ["1"]
    assert values(held) == []


def test_lines_pasted_as_keys_acknowledge_nothing() -> None:
    """Words for a caution that come with its page, or in one stream after it, are no sign that it was read."""
    for keys in ("chocked\r", "chocked\r" * 5):
        _, pasted = press(keys, step=0.01)
        assert values(pasted) == []


def test_what_was_typed_before_a_caution_is_read_is_kept() -> None:
    """A reading stays in the line while its page is turned, and is taken once all of it was in view."""
    log = (Entry("ack", "crank", "chocked"), Entry("answer", "complaint", "1"))
    saved: list[Entry] = []
    with create_pipe_input() as source, create_app_session(input=source):

        def type_slowly() -> None:
            for keys in ("12.6\r", *[ENTER] * 8, CTRL_C):  # the first turns the page, so do others, the last takes it
                time.sleep(0.1)
                source.send_text(keys)

        typist = threading.Thread(target=type_slowly)
        typist.start()
        run(Warned(log), saved.extend, source, Sized(12))
        typist.join()
    assert values(saved) == ["12.6"]


def test_a_refused_entry_leaves_an_empty_line() -> None:
    """What is typed next is not put among what was refused."""
    _, saved = press("chocked\r112..6\r12.6\r")
    assert values(saved) == ["chocked", "1", "12.6"]


def test_a_figure_that_is_no_choice_is_typed_text() -> None:
    """At a choice, other figures begin something typed, and are refused only on Enter."""
    _, saved = press("chocked\r7\r3")
    assert values(saved) == ["chocked", "3"]


def test_a_caution_typed_blind_is_not_accepted() -> None:
    """Before its end has been on screen the word for a caution is refused, however often it is typed."""
    for keys in ("", ENTER, PAGE_DOWN * 9):  # keys that come at once, with nothing drawn between them
        _, saved = press(f"{keys}chocked\rchocked\r", Toy(extra=LONG), rows=12)
        assert values(saved) == []


def test_words_serve_before_a_caution_is_read() -> None:
    """Parking is possible at any moment."""
    end, saved = press("park\r", Toy(extra=LONG), rows=12)
    assert (end.how, [entry.kind for entry in saved]) == ("over", ["park"])


@pytest.mark.parametrize("keys", [CTRL_C, CTRL_D, f"x12{CTRL_C}"])
def test_ctrl_c_and_ctrl_d_park(keys: str) -> None:
    """Both park, whatever stands in the line."""
    end, saved = press(f"chocked\r{keys}")
    assert (end.how, [entry.kind for entry in saved]) == ("parked", ["ack", "park"])


def test_pasted_text_is_not_taken_before_enter() -> None:
    """Of what is pasted the first line is put in, made harmless; its line end accepts nothing."""
    _, saved = press("\x1b[200~chocked\n1\n\x1b[201~")
    assert values(saved) == []
    _, saved = press("chocked\r1\x1b[200~12.6\x1b]0;x\x07\n\x1b[201~\r")
    assert values(saved) == ["chocked", "1"]


def test_a_commit_that_fails_ends_the_screen_with_its_trouble() -> None:
    """The trouble is raised to the caller; nothing follows it."""

    def full(_: tuple[Entry, ...]) -> None:
        raise trouble("full", "jobs")

    with create_pipe_input() as source, create_app_session(input=source):
        source.send_text("chocked\r1")
        with pytest.raises(StoreTrouble) as caught:
            run(Toy(), full, source, Sized(), Ticking(1.0))
    assert caught.value.kind == "full"


@contextmanager
def terminal(job: Path, rows: int, width: int, env: dict[str, str] | None = None, *more: str) -> Iterator[Terminal]:
    shown = Terminal([*TOY, str(job), *more], rows, width, env)
    try:
        yield shown
    finally:
        with suppress(OSError):
            shown.process.close(force=True)


def begin(shown: Terminal) -> None:
    shown.wait_for("DANGER", "What you see >")
    shown.send("chocked\r")
    shown.wait_for("Choice >", "Saved: chocked")
    shown.settle()
    shown.send("1")
    shown.wait_for("Volts >")


@pytest.mark.parametrize(("rows", "width"), [(24, 80), (12, 40), (60, 200)])
def test_what_a_person_sees(tmp_path: Path, rows: int, width: int) -> None:
    """At every size: the line to type in and the key bar stay, odds are in view, slips are shown where they are."""
    with terminal(tmp_path / "jobs", rows, width) as shown:
        begin(shown)
        assert "main link: blown" in shown.text
        assert "41 %" in shown.text
        assert "help" in shown.lines[-1]
        assert all(columns(line) <= width for line in shown.lines)
        shown.send("12..6\r")
        shown.wait_for("more than one mark", "12..6")
        shown.send("\x01\x0b12.6\r")
        shown.wait_for("Saved: 12.6 V", gone="more than one mark")
        shown.send("why\r")
        shown.wait_for("Reason 1 for it.")
        while "Reason 30 " not in shown.text:
            shown.send(ENTER)
            shown.settle(0.1)
        shown.send(ENTER)
        shown.wait_for("Volts >", "Saved: 12.6 V")
        shown.send("0.2\r")
        assert shown.end() == 0
        assert "The main link is blown." in shown.text


def test_a_long_page_is_turned_to_the_end_of_its_caution(tmp_path: Path) -> None:
    """Enter turns over until the caution has been in view; from then on its word is accepted."""
    with terminal(tmp_path / "jobs", 12, 40, None, "2", "25") as shown:
        shown.wait_for("line 0", "More below")
        shown.send("chocked\r")
        shown.wait_for("Read to the end of the caution first")
        while "everyone" not in shown.text or "clear." not in shown.text:
            shown.send(ENTER)
            shown.settle(0.15)
        shown.send("chocked\r")
        shown.wait_for("Choice >", "Saved: chocked")


def test_the_page_follows_the_size(tmp_path: Path) -> None:
    """After every change of size the page is drawn anew, nothing is cut off, and the place to type is there."""
    with terminal(tmp_path / "jobs", 24, 80) as shown:
        begin(shown)
        for rows, width in ((12, 40), (60, 200), (10, 30), (24, 80)):
            shown.resize(rows, width)
            shown.settle(0.8)
            shown.wait_for("Volts >", "why")
            said = " ".join(" ".join(shown.lines).split())
            assert "Volts at the key switch feed" in said or "More below" in said
            assert all(columns(line) <= width for line in shown.lines)


@pytest.mark.parametrize(("env", "coloured"), [({}, True), ({"NO_COLOR": "1"}, False)])
def test_colour_is_never_needed(tmp_path: Path, env: dict[str, str], coloured: bool) -> None:  # noqa: FBT001
    """The same words stand there with and without colour, and NO_COLOR is honoured."""
    with terminal(tmp_path / "jobs", 24, 80, env) as shown:
        shown.wait_for("! DANGER: With the key at START", "why  what  skip")
        assert (b"\x1b[0;31;" in shown.raw or b";31;" in shown.raw) is coloured


@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGTERM, signal.SIGINT])
def test_signals_park(tmp_path: Path, number: int) -> None:
    """Hang-up, termination and interruption from outside park the job and put the terminal right."""
    with terminal(tmp_path / "jobs", 24, 80) as shown:
        begin(shown)
        os.kill(shown.process.pid, number)
        assert shown.end() == 0
        assert "coldiron resume 7" in shown.text
    assert kinds(tmp_path / "jobs") == ["ack", "answer", "park"]


def test_a_window_that_is_closed_parks(tmp_path: Path) -> None:
    """When the terminal itself goes away the job is parked all the same."""
    with terminal(tmp_path / "jobs", 24, 80) as shown:
        begin(shown)
        os.close(shown.process.child_fd)
        for _ in range(100):
            if os.waitpid(shown.process.pid, os.WNOHANG)[0]:
                break
            threading.Event().wait(0.1)
        else:
            os.kill(shown.process.pid, signal.SIGKILL)
            pytest.fail("still running without its terminal")
    assert kinds(tmp_path / "jobs") == ["ack", "answer", "park"]


def kinds(job: Path) -> list[str]:
    with open_store(job) as store:
        return [event.kind for event in store.events(store.jobs()[0].id)]
