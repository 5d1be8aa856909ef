"""Text that goes to a screen is harmless and never wider than it says."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.plaintext import REPLACED, clean, columns, wrap

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


def test_no_cleaned_character_is_wider_than_thought() -> None:
    """For every character that is let through, at least as many columns are counted as `wcwidth` counts.

    wcwidth is the independent measure here (it follows Unicode's EastAsianWidth.txt); terminals and prompt_toolkit
    go by it.
    """
    wcwidth = pytest.importorskip("wcwidth").wcwidth
    shown = {clean(chr(code)) for code in range(0x20, 0x110000)}
    assert [character for character in sorted(shown) if wcwidth(character) > columns(character)] == []
