"""`coldiron book prove`: what it prints, and the exit code it ends with."""

from __future__ import annotations

from pathlib import Path

import pytest  # noqa: TC002 - its types are named in annotations that pytest reads

from coldiron.cli import BOOK, DONE, main
from support.rule_text import GROUND

SOUND = GROUND.read_text(encoding="utf-8").replace("spread  3 in 100 and 0.03 V", "spread  1 in 100 and 0.03 V")


def proved(path: Path, text: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Exit code and output of the command on a book of one file."""
    (path / "lamp.rules").write_text(text, encoding="utf-8")
    return main(["book", "prove", str(path)]), capsys.readouterr().out


def test_a_book_that_agrees_with_its_circuits(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It says what was held against what, and what no check tells apart, which is no mistake."""
    code, said = proved(tmp_path, SOUND, capsys)
    assert code == DONE
    assert "No check tells these apart:\n  lamp_12: key_contact.burnt (and from a sound machine)" in said
    assert "0 disagreements\n1 circuits, 5 faults and 3 checks of them solved" in said


def test_a_disagreement_is_drawn_with_the_line_it_stands_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = proved(tmp_path, SOUND.replace("given     rest_volts 11.4 V", "given     rest_volts 20 V"), capsys)
    assert code == BOOK
    number = next(n for n, line in enumerate(SOUND.splitlines(), 1) if "given     rest_volts" in line)
    assert f"lamp.rules:{number}:3: error: no machine with one fault or two gives all these readings" in said
    assert f"{number} |   given     rest_volts 20 V" in said
    assert "1 disagreements" in said


def test_a_book_with_mistakes_is_not_proved(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is told what `book check` tells."""
    code, said = proved(tmp_path, SOUND.replace("good    bright", "goood   bright"), capsys)
    assert code == BOOK
    assert "has no line 'goood'" in said
    assert "disagreements" not in said
