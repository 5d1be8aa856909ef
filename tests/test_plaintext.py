"""Text that goes to a screen is harmless and never wider than it says."""

from __future__ import annotations

import subprocess
import sys
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wcwidth import wcwidth

from coldiron.plaintext import FIRST_MARK, ONE_COLUMN, REPLACED, clean, columns, wrap

PAYLOADS = {
    "escape": "\x1b[2J\x1b]0;owned\x07",
    "eight-bit control sequence": "\x9b31m\x9d52;c;aGk=\x9c",
    "writing direction": "\u202eV 6.21\u202c\u2066x\u2069\u200f\u061c",
    "invisible": "\u200b\u200d\u2060\ufeff\u00ad\U000e0041",
    "line breaks": "a\rb\nc\vd\fe\x85f\u2028g\u2029h",
    "other controls": "\x00\x08\x7f\x84\x90",
    "halves of a pair": "\ud800\udfff",
    "meaningless": "\uffff\U0010ffff\ue000",
}


@pytest.mark.parametrize("payload", PAYLOADS.values(), ids=PAYLOADS)
def test_payloads_are_made_harmless(payload: str) -> None:
    """Nothing a terminal could take for a command, or that changes the order of letters, is left."""
    for character in clean(payload):
        assert unicodedata.category(character)[0] != "C" or character == REPLACED
        assert unicodedata.category(character) not in ("Zl", "Zp")


@given(st.text())
def test_clean_keeps_every_column(text: str) -> None:
    """Cleaning gives one character for one, so places in the text stay; doing it twice changes nothing more."""
    assert len(text) == len(clean(text))
    assert clean(text) == clean(clean(text))


@given(st.text(st.characters(codec="utf-8")), st.integers(2, 120), st.sampled_from(("", "  ", "! ")))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: int, opening: str) -> None:
    """No line is wider than asked, and all words are there in their order."""
    lines = wrap(clean(text), width, opening, opening)
    assert all(columns(line) <= width for line in lines)
    kept = "".join(line.removeprefix(opening) if width - columns(opening) >= 2 else line for line in lines)
    assert "".join(clean(text).split()) == "".join(kept.split())


def test_words_are_broken_at_blanks_where_they_fit() -> None:
    """Words stay whole, further lines are indented, and a word wider than the line is cut."""
    assert wrap("black probe on the post", 12, "", "  ") == ["black probe", "  on the", "  post"]
    assert wrap("battery_negative_post on", 10) == ["battery_ne", "gative_pos", "t on"]
    assert wrap("\u96fb\u6c60\u304c\u7a7a", 5) == ["\u96fb\u6c60", "\u304c\u7a7a"]
    assert wrap("", 10, "> ") == ["> "]


def test_every_cleaned_character_is_as_wide_as_unicode_says() -> None:
    """Against the tables of Unicode that Python brings: two columns where wide, none of a mark, else one.

    Where newer tables have a character wide it is; marks that take a place by Python's tables may take none.
    """
    for character in sorted({clean(chr(code)) for code in range(0x20, 0x110000)}):
        sort = unicodedata.category(character)
        wide = unicodedata.east_asian_width(character) in "WF" and not sort.startswith("M")
        if sort in ("Mn", "Me"):
            assert columns(character) == 0, hex(ord(character))
        elif sort != "Mc":
            assert columns(character) in ((2,) if wide else (0, 1, 2)), hex(ord(character))
    assert [columns(text) for text in ("a", "\u00b0C", "\u2013", "\u96fb\u6c60", "e\u0301", "\u2630")] == [
        1,
        2,
        1,
        4,
        1,
        2,
    ]


def test_what_takes_one_column_needs_no_table() -> None:
    """What is passed by is what the table of widths has as well: no page in a European tongue loads it."""
    plain = [chr(code) for code in range(0x20, ord(FIRST_MARK))]
    shown = [character for character in (*plain, *ONE_COLUMN) if clean(character) == character]
    assert [character for character in shown if wcwidth(character) != columns(character)] == []
    program = "import sys; from coldiron.plaintext import columns; columns('20 \u00b0C \u2013 na\u00efve'); "
    program += "print('wcwidth' in sys.modules); columns('\u96fb'); print('wcwidth' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True"]
