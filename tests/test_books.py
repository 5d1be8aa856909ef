"""A book with an error of any sort is not used for a job, by any way in."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from coldiron import BookError, Consultation, load_book
from coldiron.book.source import Place
from coldiron.language.files import shipped
from coldiron.mistakes import FORM, MEANING, WHOLE, Mistake, mistake
from coldiron.store import stamp
from support.rule_text import GROUND

ERRORS = [entry for entry in (*FORM, *MEANING, *WHOLE) if not entry.warning]


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for a book, and an empty cache of its own."""
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path / "cache"))
    (tmp_path / "rules").mkdir()
    return tmp_path / "rules"


def write(folder: Path, entry: Mistake) -> None:
    """The small sound book with a mistake of the catalogue in it."""
    ground = GROUND.read_text(encoding="utf-8")
    for old, new in entry.edits:
        ground = ground.replace(old, new, 1)
    for name, text in (("ground", ground), ("more", entry.example)):
        plain = text.replace("«", "").replace("»", "")
        (folder / f"{name}.rules").write_bytes(plain.encode("utf-8", "surrogateescape"))


@pytest.mark.parametrize("entry", ERRORS, ids=lambda entry: entry.kind)
def test_no_error_of_the_catalogue_leaves_a_book_in_use(folder: Path, entry: Mistake) -> None:
    """Of form, of meaning, of the whole: cold and from the cache, a consultation is refused and says where."""
    write(folder, entry)
    for _ in ("cold", "kept"):
        book, problems = load_book(folder)
        assert entry.kind in [problem.kind for problem in problems]
        with pytest.raises(BookError) as refused:
            Consultation(book)
        assert entry.kind in [problem.kind for problem in refused.value.problems]
        assert str(refused.value.problems[0].place) in str(refused.value)


def test_a_book_with_warnings_alone_is_used(folder: Path) -> None:
    """They are told, and keep nobody from work."""
    (folder / "ground.rules").write_text(GROUND.read_text(encoding="utf-8") + "\nkit spare\n  name spare gauge\n")
    for _ in ("cold", "kept"):
        book, problems = load_book(folder)
        assert [(problem.kind, problem.weight) for problem in problems] == [("unused", "warning")]
        assert Consultation(book).next is not None


@pytest.mark.parametrize("way", ["none", "empty", "remarks", "kit alone", "a folder called so", "a name with a nought"])
def test_what_is_no_book_is_a_problem_with_a_place(folder: Path, way: str) -> None:
    """No folder, no file, nothing in them, no machine and no complaint: told, never raised by the loading."""
    if way == "remarks":
        (folder / "a.rules").write_text("# nothing yet\n\n")
    elif way == "kit alone":
        (folder / "a.rules").write_text("kit gauge\n  name gauge\n")
    elif way == "a folder called so":
        (folder / "a.rules").mkdir()
    path = {"none": folder / "none", "a name with a nought": Path("a\0b")}.get(way, folder)
    book, problems = load_book(path)
    assert problems
    assert all(problem.place.file and problem.place.line for problem in problems)
    with pytest.raises(BookError):
        Consultation(book)


def test_the_shipped_book_is_held_to_the_same(folder: Path) -> None:
    """Its caution before START made due nowhere: no command works a job with it."""
    shutil.copytree(shipped(), folder, dirs_exist_ok=True)
    cautions = folder / "cautions"
    for path in cautions.rglob("*.rules"):
        lines = path.read_text(encoding="utf-8").split("\n")
        kept = [line for line in lines if not (line.split()[:1] == ["due"] and "start" in line.split())]
        path.write_text("\n".join(kept), encoding="utf-8")
    assert load_book(folder)[0].broken
    script = folder.parent / "answers"
    script.write_text('{"id": "raised", "value": "none"}\n')
    for words in (["find"], ["find", "--answers", str(script)], ["find", "--replay", str(script)], ["resume"]):
        done = subprocess.run(
            [sys.executable, "-m", "coldiron", *words, "--plain", "--book", str(folder)],
            capture_output=True,
            text=True,
            check=False,
            stdin=subprocess.DEVNULL,
        )
        assert (done.returncode, done.stdout) == (3, ""), words
        assert "START" in done.stderr


def test_another_audit_judges_a_kept_book_anew(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What an older one passed is not passed for good."""
    (folder / "ground.rules").write_bytes(GROUND.read_bytes())
    assert not load_book(folder)[0].broken
    code = stamp.code_of
    monkeypatch.setattr(stamp, "code_of", lambda rooms: code(rooms) + "of another audit")
    monkeypatch.setattr("coldiron.audit.AUDITS", (lambda _: (mistake("no-entries", Place("ground.rules", 1, 1, 1)),),))
    assert [problem.kind for problem in load_book(folder)[0].broken] == ["no-entries"]
