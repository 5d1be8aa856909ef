"""A page is drawn harmless, in words, at any width and height."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.plaintext import clean, columns
from coldiron.screens.drawing import bar, draw, fit, share
from coldiron.screens.lines import WORDS, Block, CautionBlock, Choices, Heading, Prompt, Saved, Suspects, Text
from coldiron.screens.view import View

TEXT = st.text(max_size=60)
BLOCKS = st.lists(
    st.builds(Heading, TEXT)
    | st.builds(Text, TEXT, TEXT, st.booleans())
    | st.builds(CautionBlock, st.sampled_from(("DANGER", "WARNING", "CAUTION", "NOTICE")), TEXT, TEXT, TEXT)
    | st.builds(Suspects, st.lists(st.tuples(TEXT, st.floats(0, 1)), max_size=4).map(tuple))
    | st.builds(Choices, st.lists(st.tuples(st.sampled_from("123456789"), TEXT), max_size=4).map(tuple))
    | st.builds(Choices, st.lists(st.tuples(st.just("12"), st.text(max_size=9)), min_size=17, max_size=30).map(tuple))
    | st.builds(Saved, TEXT)
    | st.builds(Prompt, TEXT, TEXT),
    max_size=6,
)


@given(BLOCKS, st.integers(2, 220), st.booleans())
def test_no_row_is_wider_than_asked_and_all_is_harmless(blocks: list[Block], width: int, tight: bool) -> None:  # noqa: FBT001
    """Whatever the texts hold, every row fits and holds only what can be seen."""
    for row in draw(blocks, width, tight=tight):
        assert columns(row.text) <= width
        assert row.text == clean(row.text)


def words(text: str) -> str:
    return "".join(text.split())


@given(st.lists(st.builds(Text, TEXT, TEXT), max_size=4), st.integers(8, 100))
def test_no_word_is_left_out(blocks: list[Text], width: int) -> None:
    """Everything said is on the page, at any width."""
    drawn = words("".join(row.text for row in draw(blocks, width)))
    said = "".join((f"{clean(block.label)}:" if block.label else "") + clean(block.text) for block in blocks)
    assert words(said) == drawn


def test_caution_says_word_hazard_harm_and_how_to_avoid_it() -> None:
    """The signal word stands in words and with a mark, so that colour is never needed."""
    rows = draw([CautionBlock("DANGER", "The machine can move.", "It crushes.", "Chock it.")], 40)
    assert [row.text for row in rows] == ["! DANGER: The machine can move.", "  It crushes.", "  Chock it."]


def test_keys_of_choices_stand_in_a_column() -> None:
    """Keys of different lengths are set flush right, and a long meaning stays clear of them."""
    rows = draw([Choices((("9", "no lamps"), ("10", "none of these here")))], 18)
    assert [row.text for row in rows] == ["   9  no lamps", "  10  none of", "      these here"]


def test_a_long_list_of_short_choices_stands_in_columns() -> None:
    """Read downward, as many side by side as fit; one a line where two do not, or where the list is short."""
    rows = tuple((str(number), f"sort {number}") for number in range(1, 18))
    beside = [row.text for row in draw([Choices(rows)], 26)]
    assert beside[0] == "   1  sort 1   10  sort 10"
    assert beside[-1] == "   9  sort 9"
    assert len(beside) == 9
    for few, width in ((rows, 25), (rows[:16], 26)):
        assert [row.text for row in draw([Choices(few)], width)] == [f"  {key:>2}  {meaning}" for key, meaning in few]


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0.0, "0 %"), (0.0001, "<1 %"), (0.0149, "1 %"), (0.41, "41 %"), (0.999, "99 %"), (1.0, "100 %")],
)
def test_shares_are_never_rounded_to_certainty(value: float, shown: str) -> None:
    """A suspect that is not ruled out does not show as 0, one that is not proven does not show as 100."""
    assert shown == share(value)


def test_a_page_is_drawn_as_roomy_as_it_fits() -> None:
    """With less height first the air goes, then what is aside; nothing else is ever left out."""
    blocks: list[Block] = [Suspects((("a", 0.5), ("b", 0.5))), Heading("Now"), Text("aside", aside=True), Text("do it")]
    roomy, tight, short = fit(blocks, 60, 9), fit(blocks, 60, 5), fit(blocks, 60, 3)
    assert [row.text for row in roomy] == ["Likely causes:", "   50 %  a", "   50 %  b", "", "Now", "aside", "do it"]
    assert [row.text for row in tight] == ["Likely causes: a 50 %, b 50 %", "Now", "aside", "do it"]
    assert [row.text for row in short] == ["Likely causes: a 50 %, b 50 %", "Now", "do it"]


def test_key_bar_holds_every_word_at_every_width() -> None:
    """The words are all there, in as few rows as they take."""
    names = [word.word for word in WORDS]
    assert len(bar(names, 80)) == 1
    assert len(bar(names, 40)) == 2
    for width in range(6, 100):
        lines = bar(names, width)
        assert names == " ".join(lines).split()
        assert max(map(len, lines)) <= width


@given(BLOCKS, st.integers(2, 100), st.integers(1, 30))
def test_turning_pages_shows_every_row_and_then_nothing_is_unread(blocks: list[Block], width: int, height: int) -> None:
    """From the top, turning page after page brings every row of the page into view; only then is it all read."""
    view = View(blocks)
    shown = {id(row) for row in view.show(width, height)}
    while view.more:
        view.turn(1)
        shown |= {id(row) for row in view.show(width, height)}
    assert not view.unread
    assert shown == {id(row) for row in view._rows}


def test_a_caution_is_unread_until_its_last_row_was_in_view() -> None:
    """Resizing, scrolling up or seeing only its beginning does not count as having read a caution."""
    view = View([Text("x " * 400), CautionBlock("DANGER", "It moves.", "It crushes.", "Chock it.")])
    view.show(20, 10)
    assert view.unread
    while view.more:
        assert view.unread
        view.turn(1)
        view.show(20, 10)
    assert not view.unread
    view.turn(-1)
    view.show(40, 8)
    assert not view.unread
