"""The shop's own rules laid on a book: they add, they are found, a job keeps them, and they take no caution away."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import books, load_book
from coldiron.book.book import Book
from coldiron.checkup import report
from coldiron.language.files import RuleFile, book_files
from coldiron.language.load import build_files
from coldiron.screens.saving import book_text, edition
from support.rule_text import GROUND

LOWER = RuleFile("ground.rules", "rules/ground.rules", GROUND.read_bytes())
CLAMP = "fact hot\n  name  the wire is hot\n"
ADDED = (
    CLAMP,
    "area bay\n  name   engine bay\n  takes  5 minutes\n",
    "# a remark\n",
    "kit clamp\n  name clamp meter\n",
)
MAPPINGS = [name for name in Book.__match_args__ if name not in ("hash", "broken")]


@pytest.fixture(name="own")
def _own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small book in place of the shipped one, an empty cache, and the folder of the shop's layer, not yet made."""
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "ground.rules").write_bytes(LOWER.data)
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path / "home"))
    monkeypatch.setattr(books, "shipped", lambda: str(tmp_path / "rules"))
    return tmp_path / "home" / "rules"


def lay(own: Path, **files: str) -> None:
    """Write files of the layer."""
    own.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (own / f"{name}.rules").write_text(text, encoding="utf-8")


def entries(book: Book) -> dict[str, dict[str, object]]:
    """What a book holds, by mapping."""
    return {name: dict(getattr(book, name)) for name in MAPPINGS}


def test_a_layer_that_adds_nothing_changes_nothing(own: Path) -> None:
    """No folder, an empty one, one with a remark: the same entries, no problem, and of an empty one the same hash."""
    bare, wrong = load_book()
    lay(own)
    empty, none = load_book()
    lay(own, a="# nothing yet\n")
    remark, still = load_book()
    assert wrong == none == still == ()
    assert bare.hash == empty.hash
    assert entries(bare) == entries(empty) == entries(remark)


def test_the_layer_is_found_in_its_place_and_where_it_is_named(own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the folder of the jobs, in the one that COLDIRON_BOOK names; not for a book that is named, or `shipped`."""
    lay(own, a=CLAMP)
    named = own.parent / "named"
    lay(named, a=ADDED[3])
    assert "hot" in load_book()[0].facts
    assert "hot" not in load_book("shipped")[0].facts
    assert "hot" not in load_book(own.parent.parent / "rules")[0].facts
    monkeypatch.setenv("COLDIRON_BOOK", str(named))
    assert ("clamp" in load_book()[0].kits, "hot" in load_book()[0].facts) == (True, False)
    monkeypatch.setenv("COLDIRON_BOOK", str(own / "not there"))
    assert [one.kind for one in load_book()[0].broken] == ["no-such-book"]


@given(st.permutations(range(len(ADDED))))
def test_the_order_of_the_files_of_a_layer_does_not_matter(order: list[int]) -> None:
    """Named in any order, the entries are the same."""
    files = [RuleFile(f"own/{at}.rules", f"own/{at}.rules", ADDED[one].encode()) for at, one in enumerate(order)]
    book, problems = build_files([LOWER, *files])
    assert problems == ()
    assert {name: set(found) for name, found in entries(book).items()} == NAMES


NAMES = {
    name: set(found) | {"facts": {"hot"}, "areas": {"bay"}, "kits": {"clamp"}}.get(name, set())
    for name, found in entries(build_files([LOWER])[0]).items()
}


@given(st.data())
def test_no_layer_takes_the_name_of_what_stands_below(data: st.DataObject) -> None:
    """Any block of the lower book, cautions, actions and dangers too, written again: refused, with both places."""
    blocks = [f"\n{one}" for one in GROUND.read_text(encoding="utf-8").split("\n\n") if one[:1].isalpha()]
    block = data.draw(st.sampled_from(blocks))
    book, problems = build_files([LOWER, RuleFile("own/a.rules", "own/a.rules", block.encode())])
    twice = [one for one in problems if one.kind == "duplicate"]
    assert twice
    assert twice[0].place.file == "own/a.rules"
    assert twice[0].related[0][1].file == LOWER.shown
    assert book.broken
    assert book.cautions == build_files([LOWER])[0].cautions


def test_a_clash_is_drawn_with_both_files_by_paths_that_open(own: Path) -> None:
    """The shop's file and the lower one."""
    lay(own, mine="kit meter\n  name  test meter\n")
    text = report()
    assert "is declared twice" in text
    assert f"{own}/mine.rules:1:5: error" in text
    assert f"{own.parent.parent}/rules/ground.rules" in text


def test_a_job_keeps_the_layer_it_was_begun_with(own: Path) -> None:
    """What is kept of the book is read back to the same book, whatever the layer says since."""
    lay(own, a=CLAMP)
    begun, text = load_book()[0], book_text(None)
    lay(own, a=ADDED[1])

    class Kept:
        """A store that has one text."""

        def book(self, _: str) -> str:
            """The text."""
            return text

    kept = edition(Kept(), begun.hash)  # type: ignore[arg-type]
    assert kept is not None
    assert {name: set(found) for name, found in entries(kept).items()} == {
        name: set(found) for name, found in entries(begun).items()
    }
    assert "hot" in kept.facts


def test_one_name_below_and_in_the_layer_are_two_files(own: Path) -> None:
    """A file of the shop may be called as a lower one is."""
    lay(own, ground=CLAMP)
    files, problems = book_files(str(own.parent.parent / "rules"), str(own))
    assert ([file.name for file in files], problems) == (["ground.rules", "own/ground.rules"], [])
