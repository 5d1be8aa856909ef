"""The shop's own rules laid on a book: they add, they are found, a job keeps them, and they take no caution away."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import books, load_book
from coldiron.book.book import NO_MAPPINGS, Book
from coldiron.book.problem import errors
from coldiron.checkup import report
from coldiron.jobs.editions import unpacked
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
BLOCKS = [f"\n{one}" for one in GROUND.read_text(encoding="utf-8").split("\n\n") if one[:1].isalpha()]
WARNING = ("caution", "action", "danger", "duty", "setting")
WARNS = [
    one.strip().replace("spare_the_feed", "other")
    for one in BLOCKS
    if one[1:].startswith("caution") or "then     forbid" in one
]
SLIP = "kit clamp\n  nmae clamp meter\n"
MAPPINGS = [name for name in Book.__match_args__ if name not in NO_MAPPINGS]


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
    block = data.draw(st.sampled_from(BLOCKS))
    book, problems = build_files([LOWER, RuleFile("own/a.rules", "own/a.rules", block.encode())])
    twice = [one for one in problems if one.kind == "duplicate"]
    assert twice
    assert twice[0].place.file == "own/a.rules"
    assert twice[0].related[0][1].file == LOWER.shown
    assert bool(book.broken) != bool(book.aside)
    assert book.broken or block.split(maxsplit=1)[0] not in WARNING
    if book.aside:
        assert entries(book) == entries(build_files([LOWER])[0])


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


def test_a_damaged_file_is_set_aside_and_the_rest_works(own: Path) -> None:
    """What is wrong is told, cold and from the cache; nothing of such a file counts."""
    lay(own, a=SLIP, b=CLAMP, c="area bay\n  name engine bay\n  takes 5 minutes\n  beside nowhere\n", d="kit meter\n")
    for _ in range(2):
        book, problems = load_book()
        assert (book.broken, sorted(book.aside)) == ((), ["own/a.rules", "own/c.rules", "own/d.rules"])
        assert {one.place.file for one in errors(problems)} == {*book.aside}
        assert "hot" in book.facts
        assert not {"clamp", "bay"} & {*book.kits, *book.areas}
        assert book.kits["meter"].name == "multimeter"
    assert "NOT USED: files of your own rules have mistakes." in report()
    lay(own, a="kit clamp\n  name clamp meter\n", c="", d="")
    assert (load_book()[0].aside, "clamp" in load_book()[0].kits) == ((), True)


def test_what_is_kept_of_a_job_leaves_out_what_was_set_aside(own: Path) -> None:
    """So that it is the book the job was begun with, by its hash too."""
    lay(own, a=SLIP, b=CLAMP)
    book = load_book()[0]
    files = unpacked(book_text(None, book.aside))
    assert {*files} == {"ground.rules", "own/b.rules"}
    assert books.of_files([RuleFile(name, name, data) for name, data in files.items()])[0].hash == book.hash


@pytest.mark.parametrize(
    "text",
    [
        "caution hot\n  word hot\n",
        "cuation hot\n  word hot\n",
        "zzz hot\n  word hot\n",
        "danger gas\n  name gas\n",
        "rule r\n  when complaint dead\n  then warn spark\n  source s\n",
        "rule r\n  when complaint dead\n  thn warn spark\n  then likelier battery times 2\n  because b\n  source s\n",
        "question q\n  ask Was it hot?\n  answer yes it was\n    warns spark\n",
        "question q\n  ask Was it hot?\n  answer yes it was\n    wrns spark\n",
        b"kit clamp\n  name clamp \xff\xfe meter\n",
    ],
)
def test_nothing_runs_where_a_caution_may_be_lost(text: str | bytes) -> None:
    """A damaged file that holds one, or may hold one, is not set aside; nor is one with it that could be."""
    data = text if isinstance(text, bytes) else text.encode()
    slip = RuleFile("own/b.rules", "own/b.rules", SLIP.encode())
    book, _ = build_files([LOWER, RuleFile("own/a.rules", "own/a.rules", data), slip])
    assert book.broken
    assert book.aside == ()


def test_only_a_file_of_the_layer_is_set_aside() -> None:
    """A book that is named, whatever its folder is called, is not worked with in part; nor a lower one."""
    for name, shown in (("b.rules", "rules/b.rules"), ("b.rules", "own/b.rules"), ("own/b.rules", "own/own/b.rules")):
        book, _ = build_files([LOWER, RuleFile(name, shown, SLIP.encode())])
        assert (bool(book.broken), book.aside) == (True, ())


@given(st.sampled_from(WARNS), st.integers(0), st.sampled_from(["", "#", " ", "x", "\n"]), st.booleans())
def test_no_slip_sets_a_caution_of_the_shop_aside(block: str, at: int, typed: str, over: bool) -> None:  # noqa: FBT001
    """One letter lost, typed over or put in where a caution is written, with a damaged entry above: nothing runs."""
    text = f"{SLIP}\n{block}"
    at = len(SLIP) - 1 + at % (len(block) + 2)
    data = f"{text[:at]}{typed}{text[at + over :]}".encode()
    book, _ = build_files([LOWER, RuleFile("own/a.rules", "own/a.rules", data)])
    assert book.broken
    assert book.aside == ()
