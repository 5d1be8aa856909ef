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


def test_the_audit_finds_no_error_in_the_shipped_book() -> None:
    """Cautions above all."""
    book, _ = load()
    assert [str(problem) for problem in audit(book) if problem.weight == "error"] == []
