"""The shipped book: every file reads clean, and the audit finds no error in it as a whole."""

from __future__ import annotations

from coldiron.audit import audit
from coldiron.language.files import rule_files, shipped
from coldiron.language.load import build_files, load


def test_every_shipped_file_reads_clean() -> None:
    """Straight from the text, no cache in between."""
    files, problems = rule_files(shipped())
    _, found = build_files(files)
    assert [str(problem) for problem in (*problems, *found)] == []


def test_the_audit_finds_nothing_in_the_shipped_book() -> None:
    """No error and no warning: what is meant says so in the language, with its reason."""
    book, _ = load()
    assert [str(problem) for problem in audit(book)] == []


WIDEST = 120
"""Characters of a line that an editor shows whole beside a second window."""


def test_no_line_of_a_shipped_rule_file_is_longer_than_an_editor_shows() -> None:
    """A part takes one line for each value, a list or a text goes on behind its keyword."""
    files, _ = rule_files(shipped())
    lines = [(file.name, line) for file in files for line in file.data.decode().split("\n")]
    assert [one for one in lines if len(one[1]) > WIDEST] == []
