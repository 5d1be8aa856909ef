"""Loading and the cache: the same book warm or cold, no parser when warm, nothing believed that is damaged."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from coldiron.book.book import Book
from coldiron.language import files, read
from coldiron.language.building import tree_from, tree_to
from coldiron.language.kept import book_from, book_to
from coldiron.language.load import load as load_book
from coldiron.store import cache, stamp
from support.rule_text import GROUND


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with two rule files, and an empty cache of its own."""
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path / "cache"))
    rules = tmp_path / "rules"
    rules.mkdir()
    (rules / "ground.rules").write_bytes(GROUND.read_bytes())
    (rules / "more.rules").write_bytes(b"kit gauge\n  name pressure gauge\n")
    return rules


def kept(folder: Path, sort: str) -> list[Path]:
    """Return the cache files of one sort."""
    return sorted((folder.parent / "cache").glob(f"{sort}-*.kept"))


def test_a_warm_load_gives_the_same_book_and_problems(folder: Path) -> None:
    """Records, order, hash, derived parts and faults; also with problems in it."""
    (folder / "bad.rules").write_bytes(b"kit other\n  nmae x\n")
    cold, problems = load_book(folder)
    warm, again = load_book(folder)
    assert len(kept(folder, "book")) == 1
    assert problems == again
    assert [problem.kind for problem in problems] == ["unknown-line"]
    for name in Book.__match_args__:
        one, two = getattr(cold, name), getattr(warm, name)
        assert one == two
        if name != "hash":
            assert list(one) == list(two)


def test_only_a_book_that_has_to_be_built_is_announced(folder: Path) -> None:
    """Parsing takes seconds, the cache does not."""
    told: list[str] = []
    load_book(folder, lambda: told.append("cold"))
    load_book(folder, lambda: told.append("warm"))
    (folder / "more.rules").write_bytes(b"kit gauge\n  name oil pressure gauge\n")
    load_book(folder, lambda: told.append("changed"))
    assert told == ["cold", "changed"]


def let_rest(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the files of a folder count as long unchanged."""
    monkeypatch.setattr(files, "FRESH", 0)
    load_book(folder)
    assert len(kept(folder, "seen")) == 1


def test_files_that_rest_are_not_opened_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Their names, sizes and times say that they are those of the kept book."""
    let_rest(folder, monkeypatch)
    book, problems = load_book(folder)
    monkeypatch.setattr(files, "_content", lambda path: pytest.fail(f"{path} was opened"))
    again, found = load_book(folder)
    assert (book, problems, list(again.kits)) == (again, found, list(book.kits))


def test_files_changed_just_now_are_opened(folder: Path) -> None:
    """Their times could be those of the next change too."""
    assert load_book(folder)[0].kits["gauge"].name == "pressure gauge"
    assert not kept(folder, "seen")


@pytest.mark.parametrize("change", ["same size", "same times", "renamed", "added", "taken away", "link", "moved"])
def test_no_change_of_files_that_rest_is_missed(folder: Path, monkeypatch: pytest.MonkeyPatch, change: str) -> None:
    """Whatever is done to them, what is loaded is what a load without any cache gives."""
    let_rest(folder, monkeypatch)
    more = folder / "more.rules"
    times = more.stat()
    if change in ("same size", "same times"):
        more.write_bytes(b"kit gauge\n  name pressure gaugf\n")
    if change == "same times":
        os.utime(more, ns=(times.st_atime_ns, times.st_mtime_ns))
    elif change == "renamed":
        more.rename(folder / "a.rules")
    elif change == "added":
        (folder / "new.rules").write_bytes(b"kit torch\n  name torch\n")
    elif change == "taken away":
        more.unlink()
    elif change == "link":
        (folder / "there").symlink_to(folder.parent)
    elif change == "moved":
        folder = folder.rename(folder.parent / "elsewhere")
    warm = load_book(folder)
    monkeypatch.setenv("COLDIRON_CACHE", str(folder.parent / "none"))
    cold = load_book(folder)
    assert warm == cold
    assert list(warm[0].kits) == list(cold[0].kits)


def test_a_warm_load_imports_neither_parser_nor_validator(folder: Path) -> None:
    """In a process of its own."""
    load_book(folder)
    program = (
        "import sys\nfrom coldiron.language.load import load\n"
        f"book, problems = load({str(folder)!r})\nassert len(book.faults) == 5 and problems == ()\n"
        "print({'pyparsing', 'pydantic', 'platformdirs', 'coldiron.language.grammar', 'coldiron.language.read',"
        " 'coldiron.mistakes'} & set(sys.modules))"
    )
    found = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "set()"


def test_only_the_changed_file_is_read_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The others come from the cache."""
    load_book(folder)
    (folder / "more.rules").write_bytes(b"kit gauge\n  name oil pressure gauge\n")
    names: list[str] = []
    plain = read.read

    def noted(name: str, data: bytes) -> object:
        names.append(name)
        return plain(name, data)

    monkeypatch.setattr(read, "read", noted)
    book, problems = load_book(folder)
    assert names == ["rules/more.rules"]
    assert (problems, book.kits["gauge"].name) == ((), "oil pressure gauge")


@pytest.mark.parametrize("sort", ["book", "tree"])
@pytest.mark.parametrize("damage", ["empty", "cut", "flipped", "other", "folder"])
def test_a_damaged_cache_file_is_ignored_and_made_again(folder: Path, sort: str, damage: str) -> None:
    """Whatever happened to it, the book is right, and the next load finds a sound cache."""
    book, _ = load_book(folder)
    for path in kept(folder, "book") if sort == "book" else kept(folder, "book") + kept(folder, "tree"):
        data = bytearray(path.read_bytes())
        data[len(data) // 2] ^= 4
        written = {"empty": b"", "cut": bytes(data[:-9]), "flipped": bytes(data), "other": b"{}\n[1, 2]"}.get(damage)
        path.unlink()
        if written is None:
            path.mkdir()
        else:
            path.write_bytes(written)
    assert load_book(folder)[0] == book
    if damage != "folder":
        assert cache.Cache().get(kept(folder, "book")[0].stem) is not None


def test_a_cache_that_cannot_be_written_costs_nothing_but_time(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file stands where the folder should be."""
    (tmp_path / "blocked").write_bytes(b"")
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path / "blocked" / "cache"))
    assert load_book(folder)[0] == load_book(folder)[0]


def test_the_cache_does_not_grow_without_bound(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However often a rule file is changed."""
    monkeypatch.setattr(cache, "MOST_FILES", 7)
    for number in range(6):
        (folder / "more.rules").write_bytes(b"kit gauge\n  name gauge %d\n" % number)
        load_book(folder)
    assert len(list((folder.parent / "cache").iterdir())) == 7


def test_another_version_of_the_program_does_not_read_the_cache(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What it keeps may mean something else."""
    load_book(folder)
    monkeypatch.setattr(stamp, "code_of", lambda _: "another")
    load_book(folder)
    assert len(kept(folder, "book")) == 2


def test_the_hash_of_a_book_changes_with_names_and_bytes_and_not_with_where_it_lies(folder: Path) -> None:
    """So a job can say which book it was worked with."""
    first = load_book(folder)[0].hash
    moved = folder.rename(folder.parent / "elsewhere")
    assert load_book(moved)[0].hash == first
    (moved / "more.rules").rename(moved / "other.rules")
    second = load_book(moved)[0].hash
    (moved / "other.rules").write_bytes(b"kit gauge\n  name pressure gauge \n")
    assert len({first, second, load_book(moved)[0].hash}) == 3


def test_what_is_kept_is_json_line_by_line(folder: Path) -> None:
    """And comes back equal, for books and for syntax trees."""
    book, problems = load_book(folder)
    data = book_to(book, problems)
    assert all(json.loads(line) is not None for line in data.split(b"\n"))
    assert book_from(data) == (book, problems)
    tree, found = read.read("a", GROUND.read_bytes() + b"\nkit\n  nope\n")
    assert tree_from(tree_to(tree, found)) == (tree, found)


def test_a_book_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    """No folder, or no rule file in it."""
    assert [problem.kind for problem in load_book(tmp_path / "none")[1]] == ["no-such-book"]
    assert [problem.kind for problem in load_book(tmp_path)[1]] == ["empty-book"]


def test_files_that_cannot_be_read_are_problems(folder: Path) -> None:
    """A pipe and a dangling link are said, and block nothing."""
    os.mkfifo(folder / "pipe.rules")
    (folder / "gone.rules").symlink_to(folder / "nowhere")
    book, problems = load_book(folder)
    assert {problem.place.file: problem.kind for problem in problems} == {
        "rules/pipe.rules": "unreadable",
        "rules/gone.rules": "unreadable",
    }
    assert "gauge" in book.kits


def test_folders_are_walked_to_a_bounded_depth_and_links_to_folders_are_not_followed(folder: Path) -> None:
    """A link to the folder above does not turn in circles; what is not walked is said."""
    (folder / "loop").symlink_to(folder, target_is_directory=True)
    deep = folder
    for _ in range(12):
        deep /= "d"
        deep.mkdir()
        (deep / "a.rules").write_bytes(b"")
    (folder / ".hidden.rules").write_bytes(b"nonsense\n")
    found, problems = files.rule_files(str(folder))
    assert {problem.sentence for problem in problems} == {
        "this cannot be read: links to folders are not followed",
        "this cannot be read: folders lie too deep",
    }
    assert len([file for file in found if file.name.endswith("a.rules")]) == files.MOST_DEEP


def test_the_number_of_files_is_bounded(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From one on they are not read, and it is said."""
    monkeypatch.setattr(files, "MOST_FILES", 1)
    assert [problem.kind for problem in load_book(folder)[1]] == ["too-many-files"]


def test_one_file_alone_can_be_a_book(folder: Path) -> None:
    """For trying things out."""
    book, problems = load_book(folder / "more.rules")
    assert (problems, list(book.kits)) == ((), ["gauge"])
