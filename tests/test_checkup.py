"""The check-up of a book: problems drawn with excerpts, what the book holds, and the audit once the text is sound."""

from __future__ import annotations

from pathlib import Path

from coldiron.checkup import judged, report
from support.rule_text import GROUND


def test_a_sound_book_is_counted(tmp_path: Path) -> None:
    """No problems, and how many entries of each sort."""
    (tmp_path / "ground.rules").write_bytes(GROUND.read_bytes())
    assert report(tmp_path).startswith("0 errors, 0 warnings\n2 settings, 1 kits, 2 areas, 5 points,")


def test_mistakes_are_drawn_with_the_line_they_stand_in(tmp_path: Path) -> None:
    """File, line and column, the excerpt, the suggestion, the count."""
    (tmp_path / "a.rules").write_bytes(b"kit gauge\n  nmae pressure gauge\n")
    expected = f"""\
{tmp_path.name}/a.rules:2:3: a kit has no line 'nmae'
   1 | kit gauge
   2 |   nmae pressure gauge
     |   ^^^^
   could stand here: name
   did you mean 'name'?

1 errors, 0 warnings
"""
    assert report(tmp_path).startswith(expected)


def test_a_book_is_judged_as_a_whole_once_its_text_has_no_errors(tmp_path: Path) -> None:
    """Before that, what the audit says would follow from the errors."""
    path = tmp_path / "a.rules"
    path.write_bytes(b"kit gauge\n  name pressure gauge\n")
    assert [problem.kind for problem in judged(tmp_path)[1]] == ["no-beginning", "no-beginning", "unused"]
    path.write_bytes(b"kit gauge\n  name pressure gauge\nkit clamp\n  nmae x\n")
    assert [problem.kind for problem in judged(tmp_path)[1]] == ["unknown-line"]
