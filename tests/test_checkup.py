"""The check-up of a book: problems drawn with excerpts, what the book holds, and the audit once the text is sound."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from coldiron.checkup import judged, report
from support.rule_text import GROUND

if TYPE_CHECKING:
    import pytest


def test_a_sound_book_is_counted(tmp_path: Path) -> None:
    """No problems, and how many entries of each sort."""
    (tmp_path / "ground.rules").write_bytes(GROUND.read_bytes())
    assert report(tmp_path).startswith("0 errors, 0 warnings\n2 settings, 1 kits, 2 areas, 5 points,")


def test_mistakes_are_drawn_with_the_line_they_stand_in(tmp_path: Path) -> None:
    """File, line and column, the excerpt, the suggestion, the count."""
    (tmp_path / "a.rules").write_bytes(b"kit gauge\n  nmae pressure gauge\n")
    expected = f"""\
{tmp_path}/a.rules:2:3: error: a kit has no line 'nmae'
   1 | kit gauge
   2 |   nmae pressure gauge
     |   ^^^^
   could stand here: name
   did you mean 'name'?

1 errors, 0 warnings
"""
    assert report(tmp_path).startswith(expected)


def test_a_file_is_named_so_that_it_opens_from_where_one_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From the folder above, from within, from elsewhere, by the folder or by the file alone."""
    book = tmp_path / "yard" / "book"
    book.mkdir(parents=True)
    (book / "a.rules").write_bytes(b"kit gauge\n  nmae pressure gauge\n")
    for stands, typed in ((tmp_path, "yard/book"), (book, "."), (book, "a.rules"), (tmp_path / "yard", "../yard/book")):
        monkeypatch.chdir(stands)
        name = report(typed).partition(":")[0]
        assert Path(name).read_bytes() == (book / "a.rules").read_bytes()
    monkeypatch.chdir(tmp_path)
    assert report("yard").startswith("yard/book/a.rules:2:3: error: ")


def test_a_book_is_judged_as_a_whole_once_its_text_has_no_errors(tmp_path: Path) -> None:
    """Before that, what the audit says would follow from the errors."""
    path = tmp_path / "a.rules"
    path.write_bytes(b"kit gauge\n  name pressure gauge\n")
    assert [problem.kind for problem in judged(tmp_path)[1]] == ["no-beginning", "no-beginning", "unused"]
    path.write_bytes(b"kit gauge\n  name pressure gauge\nkit clamp\n  nmae x\n")
    assert [problem.kind for problem in judged(tmp_path)[1]] == ["unknown-line"]
