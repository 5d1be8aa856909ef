"""Nothing that came from outside reaches a terminal raw, through any output of any command."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path

import pytest
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output.vt100 import Vt100_Output

from coldiron import Consultation, terminal
from coldiron.cli import main
from coldiron.screens.driver import JobDriver
from coldiron.screens.replay import keep_nothing
from coldiron.screens.screen import run
from support.mechanic import shipped
from support.outputs import counted
from support.payloads import SHAPES, offences, payloads

TEXTS = 2_000 if os.environ.get("COLDIRON_THOROUGH") else 150


@pytest.mark.slow
def test_hostile_texts_through_every_output() -> None:
    """Controls, sequences, marks of direction, what is invisible, halves of pairs, piles, lines without end."""
    told: list[str] = []
    counts = counted(payloads(TEXTS), lambda name, found: told.append(f"{name}: {found}"))
    assert len(counts) > 15
    assert told == []


def test_what_is_harmful_is_seen() -> None:
    """The judge of outputs finds every shape of payload as it is, and nothing in what was made harmless."""
    for text in payloads(100):
        harmless = terminal.lines(text)
        assert offences(harmless) == []
        assert offences(terminal.frame(harmless)) == []
    assert [shape for shape in SHAPES if not offences(shape.format("m"))] == ["{}\nDANGER: all clear"]


def test_the_screen_of_a_terminal_is_sent_nothing_raw() -> None:
    """Title, notes, what is typed and what is replied, on the screen that draws over itself with codes of its own."""
    sent = io.StringIO()
    hostile = "\x1b]0;owned\x07\x9b31m\u202ex\ud800"
    with create_pipe_input() as keys:
        driver = JobDriver(hostile, Consultation(shipped()), earlier=(hostile,), said=(hostile,))
        keys.send_text("\x1b[200~why \x1b]0;owned\x07\x9b31m\u202ex\x1b[201~\r\x01\x0b\x03\x03")
        run(driver, keep_nothing, keys, Vt100_Output(sent, lambda: Size(24, 80), enable_bell=False))
    assert "owned" in sent.getvalue()
    assert [raw for raw in ("\x1b]", "\x07", "\x9b", "\u202e", "\ud800") if raw in sent.getvalue()] == []


def test_a_frame_keeps_its_own_codes_and_no_others() -> None:
    """Looks and places stay (ECMA-48); titles, clipboards and the rest are taken out."""
    own = "\x1b[?1049h\x1b[2J\x1b[3;1H\x1b[1;31mtext\x1b[0m"
    assert terminal.frame(own) == own
    assert "\x1b" not in terminal.frame("\x1b]0;title\x07\x1b[6n\x1bc\x1b[?1000h")


def test_a_mistake_of_the_program_is_told_harmlessly(capsys: pytest.CaptureFixture[str]) -> None:
    """A traceback may hold a text from outside."""
    main(["--version"])
    assert sys.excepthook is terminal.fell
    sys.excepthook(ValueError, ValueError("\x1b]0;owned\x07\nsecond"), None)
    said = capsys.readouterr().err
    assert "owned" in said
    assert offences(said) == []


def test_an_output_that_holds_no_letter_of_it_is_no_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the encoding of a terminal cannot hold is replaced."""
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    terminal.tell("12 \u03a9")
    sys.stdout.flush()
    assert raw.getvalue() == b"12 ?\n"


def test_a_recording_that_is_not_there_is_named_on_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["find", "--replay", str(tmp_path / "a\nb\x1b[2J")]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
