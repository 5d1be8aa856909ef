"""Drawing a problem: place, sentence, excerpt with the marks under the right letters."""

from __future__ import annotations

import string

from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.problem import Problem, Weight, nearest
from coldiron.book.source import Place
from coldiron.drawing import draw, draw_all


def shown(line: str, column: int, end: int, before: str = "kit gauge") -> list[str]:
    """Return the excerpt drawn for one line."""
    problem = Problem("colon", Place("a.rules", 2, column, end), "wrong")
    return draw(problem, {"a.rules": f"{before}\n{line}\n"}.get).split("\n")


def under(lines: list[str]) -> str:
    """Return what stands above the marks."""
    start, end = lines[-1].index("^"), lines[-1].rindex("^") + 1
    return lines[-2][start:end]


def test_a_whole_drawing() -> None:
    """Place from 1, sentence, line before, line, marks, what could stand, nearest, related."""
    text = "kit gauge\n  nmae pressure gauge\n"
    problem = Problem(
        "unknown-line",
        Place("words.rules", 2, 3, 7),
        "a kit has no line 'nmae'",
        ("name",),
        "name",
        (("the kit", Place("words.rules", 1, 5, 10)),),
    )
    expected = """\
words.rules:2:3: error: a kit has no line 'nmae'
   1 | kit gauge
   2 |   nmae pressure gauge
     |   ^^^^
   could stand here: name
   did you mean 'name'?
   the kit: words.rules:1:5
   1 | kit gauge
     |     ^^^^^"""
    assert draw(problem, {"words.rules": text}.get) == expected


def test_marks_stand_under_the_word_behind_tabs() -> None:
    """A tab is one column of the file and several of the screen."""
    lines = shown("\tnmae\tgauge", 7, 12)
    assert under(lines) == "gauge"


def test_marks_stand_under_the_word_behind_wide_letters_and_marks_that_take_no_room() -> None:
    """East Asian wide letters take two columns, combining marks none."""
    lines = shown("  name \u96fb\u6c60 xyz", 11, 14)
    assert lines[-1].index("^") == len("   2 |   name ") + 4 + 1
    lines = shown("  name e\u0301e\u0301 xyz", 13, 16)
    assert lines[-1].index("^") == len("   2 |   name ") + 2 + 1


def test_a_place_at_the_end_of_a_line_gets_one_mark_behind_it() -> None:
    """An empty stretch is still seen."""
    lines = shown("  name", 7, 7)
    assert lines[-1] == "     |       ^"


def test_a_long_line_is_cut_around_the_marks() -> None:
    """What is marked is in view, and nothing is wider than a screen."""
    lines = shown("  name " + "x" * 800 + " here " + "y" * 800, 809, 813)
    assert under(lines) == "here"
    assert max(len(line) for line in lines) < 125


def test_nothing_a_terminal_takes_for_a_command_is_passed_on() -> None:
    """Escapes, direction changes and controls are replaced, in excerpts, names and sentences."""
    text = "kit \x1b[31m\u202e\x9b1m\x07\n"
    note = ("see \x07", Place("b", 1, 1, 1))
    problem = Problem("colon", Place("\x1b]0;a.rules", 1, 5, 6), "bad \x1b[2J", related=(note,))
    drawn = draw(problem, lambda _: text)
    assert all(line.isprintable() for line in drawn.split("\n"))


def test_a_place_outside_the_text_draws_no_excerpt() -> None:
    """A file that cannot be had, or a line it no longer has."""
    problem = Problem("colon", Place("a.rules", 9, 1, 2), "wrong")
    assert draw(problem, lambda _: None) == draw(problem, lambda _: "one line") == "a.rules:9:1: error: wrong"


def test_of_many_that_say_the_same_only_three_are_drawn() -> None:
    """The others are named by place."""
    problems = [Problem("unknown-word", Place("a.rules", line, 1, 2), "there is no kit 'x'") for line in range(1, 8)]
    drawn = draw_all(problems, lambda _: None)
    assert drawn.count("there is no kit") == 3
    assert "the same again at a.rules:4:1, a.rules:5:1, a.rules:6:1, a.rules:7:1" in drawn


def test_errors_stand_before_warnings_and_each_says_which_it_is() -> None:
    """In the order they came among themselves."""
    weights: tuple[Weight, ...] = ("warning", "error", "warning", "error")
    came = [
        Problem(f"kind_{line}", Place("b.rules", line, 1, 2), f"slip {line}", weight=weight)
        for line, weight in enumerate(weights, 11)
    ]
    drawn = [line for line in draw_all(came, lambda _: None).split("\n") if line]
    assert drawn == [
        "b.rules:12:1: error: slip 12",
        "b.rules:14:1: error: slip 14",
        "b.rules:11:1: warning: slip 11",
        "b.rules:13:1: warning: slip 13",
    ]


def test_of_many_words_those_most_like_the_one_found_are_shown() -> None:
    """Twelve of them, and how many more there are."""
    words = (*(f"word_{number}" for number in range(30)), "key_feed_volts", "key_feed_loaded")
    problem = Problem("unknown-word", Place("a", 1, 1, 11), "no", words)
    drawn = draw(problem, lambda _: "key_fed_vo")
    assert "key_feed_volts" in drawn
    assert "and 20 more" in drawn


@given(st.permutations(string.ascii_lowercase), st.integers(5, 12), st.integers(0, 3), st.data())
def test_a_word_with_one_slip_in_it_is_found(letters: list[str], size: int, slip: int, data: st.DataObject) -> None:
    """A letter more, less, other, or two swapped, among words that have nothing to do with it."""
    word, other = "".join(letters[:size]), "".join(letters[13:])
    at = data.draw(st.integers(0, size - 2))
    changed = (word[at + 1] + word[at], word[at + 1], "_" + word[at + 1], "_" + word[at : at + 2])[slip]
    slipped = word[:at] + changed + word[at + 2 :]
    assert nearest(slipped, [other, word, slipped]) == word
    assert nearest(slipped, [other, slipped]) == ""


def test_a_word_is_suggested_only_when_it_is_near() -> None:
    """Short words must be nearer than long ones; nothing rather than a wild guess."""
    assert nearest("rulle", ["rule", "case"]) == "rule"
    assert nearest("key_fed_vlts", ["key_feed_volts"]) == "key_feed_volts"
    assert nearest("xyz", ["rule", "case"]) == ""
    assert nearest("of", ["in"]) == ""
