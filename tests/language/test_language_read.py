"""Reading rule files: encodings and characters, comments, several mistakes in one run, and no mistake that follows."""

from __future__ import annotations

import pytest

from coldiron.language.read import MOST_PROBLEMS, read, split_comment
from coldiron.language.tree import Statement
from support.rule_text import load_texts, on_ground

KIT = b"kit gauge\n  name pressure gauge\n"


def test_a_byte_order_mark_is_passed_over_and_not_counted() -> None:
    """Columns are those of the text behind it."""
    tree, problems = read("a", b"\xef\xbb\xbf" + KIT)
    assert problems == ()
    assert isinstance(tree.lines[0], Statement)
    assert tree.lines[0].keyword.column == 1


def test_lines_may_end_with_cr_lf() -> None:
    """The same tree either way."""
    assert read("a", KIT.replace(b"\n", b"\r\n"))[0] == read("a", KIT)[0]


@pytest.mark.parametrize(
    ("name", "data", "kind", "place"),
    [
        ("nul", b"kit gauge\n  name a\0b\n", "strange-character", "a:2:9"),
        ("bell", b"kit gauge\n  name a\x07b\n", "strange-character", "a:2:9"),
        ("escape", b"kit gauge\n  name \x1b[1m\n", "strange-character", "a:2:8"),
        ("lone carriage return", b"kit gauge\r  name b\n", "strange-character", "a:1:10"),
        ("delete", b"kit gauge\n  name \x7f\n", "strange-character", "a:2:8"),
        ("control of the second set", "kit gauge\n  name \x9b\n".encode(), "strange-character", "a:2:8"),
        ("direction override", "kit gauge\n  name \u202ex\n".encode(), "strange-character", "a:2:8"),
        ("isolate", "kit gauge\n  name \u2066x\n".encode(), "strange-character", "a:2:8"),
        ("soft hyphen", "kit gauge\n  name x\u00ady\n".encode(), "strange-character", "a:2:9"),
        ("zero width space", "kit gauge\n  name x\u200by\n".encode(), "strange-character", "a:2:9"),
        ("byte order mark inside", "kit gauge\n  name x\ufeffy\n".encode(), "strange-character", "a:2:9"),
        ("line separator", "kit gauge\n  name x\u2028y\n".encode(), "strange-blank", "a:2:9"),
        ("no-break space", "kit gauge\n  name\u00a0x\n".encode(), "strange-blank", "a:2:7"),
        ("wide space", "kit gauge\n  name\u3000x\n".encode(), "strange-blank", "a:2:7"),
        ("in a comment too", "# x\u202ey\n".encode(), "strange-character", "a:1:4"),
        ("Latin-1", "kit gauge\n  name é\n".encode("latin-1"), "not-utf8", "a:2:8"),
        ("Latin-1 behind wide letters", "# é電\n  name ".encode() + b"\xe9\n", "not-utf8", "a:2:8"),
        ("bad byte behind a byte order mark", b"\xef\xbb\xbfkit \xff\n", "not-utf8", "a:1:5"),
        ("UTF-16", "kit gauge\n".encode("utf-16"), "not-utf8", "a:1:1"),
        ("encoded surrogate", b"kit \xed\xa0\x80\n", "not-utf8", "a:1:5"),
        ("overlong", b"kit \xc0\xaf\n", "not-utf8", "a:1:5"),
    ],
)
def test_what_is_no_plain_text_is_a_problem_at_its_place(name: str, data: bytes, kind: str, place: str) -> None:
    """Encodings, controls, and characters that turn or hide text."""
    first = read("a", data)[1][0]
    assert (first.kind, str(first.place)) == (kind, place), name


def test_letters_of_any_language_and_printable_signs_are_text() -> None:
    """Umlauts, accents, degree signs, ideographs."""
    assert read("a", "kit gauge\n  name jauge éß 25 °C 電池 ½\n".encode())[1] == ()


@pytest.mark.parametrize(
    ("line", "code", "comment"),
    [
        ("  name x # c", "  name x", "# c"),
        ("# c", "", "# c"),
        ("   # c", "", "# c"),
        ("  name x#y # z", "  name x#y", "# z"),
        ("  name no.#5", "  name no.#5", ""),
        ("  name x\t# c  ", "  name x", "# c"),
        ("", "", ""),
        ("   ", "", ""),
    ],
)
def test_a_comment_begins_with_a_sign_at_the_start_or_behind_a_blank(line: str, code: str, comment: str) -> None:
    """A sign inside a word is part of the word."""
    assert split_comment(line) == (code, comment)


def test_one_run_finds_every_mistake_of_a_file() -> None:
    """Each in its own block and line, in order, with line and column."""
    text = """\
kit gauge
  nmae pressure gauge
area bay
  name engine bay
  takes 2,5 minutes
rulle quick
  when key_feed_volts lve
  then clos look_at.feed_wire
check lamp_volts
  ask Volts
  how Red
  reads volts at key_outt to battery_negative
  takes: 4 minutes
  finding dead from 1V to 2 V
  good dead
  wrong 4%
  source x
"""
    found = [(str(problem.place), problem.kind) for problem in on_ground(text)[1]]
    assert found == [
        ("text_2.rules:2:3", "unknown-line"),
        ("text_2.rules:5:9", "decimal-comma"),
        ("text_2.rules:6:1", "unknown-opener"),
        ("text_2.rules:8:8", "none-of-these"),
        ("text_2.rules:13:3", "colon"),
        ("text_2.rules:14:21", "glued-unit"),
        ("text_2.rules:16:9", "percent"),
        ("text_2.rules:7:23", "unknown-word"),
        ("text_2.rules:12:18", "unknown-word"),
    ]


def test_a_damaged_entry_raises_no_mistakes_elsewhere() -> None:
    """What may be declared in a line that could not be read is not called unknown."""
    texts = (
        "kit 9x\n  name x\n" + "check one\n  kit gauge\n",
        "section tail\n  part x iz wire\n" + "rule one\n  when machine has x\n",
        "check one\n  finding dead from 1V to 2 V\n" + "rule one\n  when one dead\n",
        "chek one\n  finding dead from 1 V to 2 V\n" + "rule one\n  when one dead\n",
        "setting door\n  values open shut\n" + "rule one\n  when setting door shut\n",
    )
    for text in texts:
        kinds = [problem.kind for problem in on_ground(text)[1]]
        assert "unknown-word" not in kinds, text


def test_after_many_mistakes_the_rest_of_a_file_is_left() -> None:
    """A file that is no rule file does not fill the screen."""
    problems = read("a", b"nonsense\n" * 1000)[1]
    assert len(problems) == MOST_PROBLEMS + 1
    assert problems[-1].kind == "too-many"


def test_indentation_is_for_the_eye_only() -> None:
    """Any blanks and tabs before a line of a block mean the same."""
    plain = "area bay\n  name engine bay\n  takes 4 minutes\n"
    other = "area bay\n\tname engine bay\n         takes\t 4   minutes\n"
    (one, _), (two, _) = load_texts(plain), load_texts(other)
    assert (one.areas["bay"].name, one.areas["bay"].minutes) == (two.areas["bay"].name, two.areas["bay"].minutes)


def test_repeating_a_keyword_goes_on_with_its_text() -> None:
    """The lines join with a blank."""
    book, problems = load_texts("kit gauge\n  name pressure\n  name gauge\n")
    assert (problems, book.kits["gauge"].name) == ((), "pressure gauge")
