"""The first page stands before the screen's library is loaded, and is the page the screen then draws."""

from __future__ import annotations

import subprocess
import sys
import time

import pyte
import pytest

from coldiron.screens.frame import LOOKS
from coldiron.screens.lines import CautionBlock, Page, Prompt
from coldiron.screens.opening import AHEAD, CODES, painted
from support.sizes import few
from support.terminal import PATIENCE, Terminal

FIND = [sys.executable, "-m", "coldiron.cli", "find"]


def cells(raw: bytes, rows: int, width: int) -> list[list[tuple[object, ...]]]:
    """Every cell of the screen after these bytes: character and look, of a blank what can be seen of it."""
    screen = pyte.Screen(width, rows)
    pyte.ByteStream(screen).feed(raw)
    looks = [[screen.buffer[row][column] for column in range(width)] for row in range(rows)]
    return [[(c.data, c.reverse, *((c.fg, c.bold) if c.data != " " else ())) for c in line] for line in looks]


def unlike(first: bytes, then: bytes, rows: int, width: int) -> list[list[tuple[object, ...]]]:
    """The lines of the first page that the screen draws otherwise."""
    pairs = zip(cells(first, rows, width), cells(then, rows, width), strict=True)
    return [line for line, drawn in pairs if line != drawn]


@pytest.mark.parametrize(("rows", "width"), few([(24, 80), (40, 132), (10, 40), (6, 30)], 2))
def test_the_first_page_is_the_one_the_screen_draws(
    tmp_path_factory: pytest.TempPathFactory, rows: int, width: int
) -> None:
    """Character by character, looks included, at any size."""
    shown = Terminal(FIND, rows, width, env={"COLDIRON_HOME": str(tmp_path_factory.mktemp("home"))})
    end = time.monotonic() + PATIENCE
    first = then = b""
    while (not then or unlike(first, then, rows, width)) and time.monotonic() < end:
        shown.read(0.05)
        first, _, then = shown.raw.partition(AHEAD.encode())[2].partition(AHEAD.encode())
    shown.process.close(force=True)
    assert then, "the screen drew nothing after the first page"
    assert unlike(first, then, rows, width) == []
    assert any(cell[0] != " " for line in cells(first, rows, width) for cell in line)


def test_every_look_has_its_code() -> None:
    """No word of the screen's library is left out."""
    assert {word for look in LOOKS.values() for word in look.split()} == set(CODES)


def test_without_colours_where_the_user_wants_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """NO_COLOR (no-color.org): signal words stay bold, red and yellow go."""
    page = Page("t", (CautionBlock("DANGER", "moving parts", "crush", "stand clear"), Prompt("Volts")))
    assert "\x1b[1;7;31m" in painted(page, (80, 24))
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[1;7m" in painted(page, (80, 24))
    assert "31m" not in painted(page, (80, 24))


def test_what_is_struck_while_the_screen_loads_is_taken(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keys wait in the terminal."""
    shown = Terminal(FIND, env={"COLDIRON_HOME": str(tmp_path_factory.mktemp("home"))})
    shown.wait_for("why  what  skip")
    assert shown.raw.count(AHEAD.encode()) == 1
    shown.send("help\r")
    shown.wait_for("More below: press Enter.")
    shown.process.close(force=True)


def test_the_library_comes_after_the_page() -> None:
    """In a process of its own."""
    program = "import sys, coldiron.screens.opening; print('prompt_toolkit' in sys.modules, 'asyncio' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]
