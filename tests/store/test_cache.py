"""The cache: what comes back is what was put in, or nothing does; and it does not grow without bound."""

from __future__ import annotations

import os
import string
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.store import cache as module
from coldiron.store import stamp
from coldiron.store.cache import ENDING, Cache, KeptSort

BOOK, ROWS = KeptSort("book"), KeptSort("rows")
parts = st.lists(st.text(st.characters()) | st.binary(), max_size=4)


def file_of(cache: Cache, key: str) -> Path:
    """Where something is kept."""
    return Path(cache.folder, key + ENDING)


@given(st.binary(), parts)
def test_what_was_put_in_comes_back(
    tmp_path_factory: pytest.TempPathFactory, payload: bytes, made_from: list[str]
) -> None:
    """Any bytes, of any parts; also by another process, which has nothing but the folder."""
    cache = Cache(tmp_path_factory.mktemp("cache"))
    key = BOOK.key(*made_from)
    assert cache.get(key) is None
    assert cache.put(key, payload)
    assert Cache(cache.folder).get(BOOK.key(*made_from)) == payload


@given(parts, parts)
def test_other_parts_or_another_sort_have_another_key(one: list[str | bytes], other: list[str | bytes]) -> None:
    """Wherever the parts are cut; a text is the same as its bytes."""
    same = [_bytes(part) for part in one] == [_bytes(part) for part in other]
    assert (BOOK.key(*one) == BOOK.key(*other)) is same
    assert BOOK.key(*one) != ROWS.key(*one)


def _bytes(part: str | bytes) -> bytes:
    return part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part


def test_every_single_bit_that_flips_is_found(tmp_path: Path) -> None:
    """In the seal, in the line between, in the payload."""
    cache, key = Cache(tmp_path / "one"), BOOK.key("some figures")
    assert cache.put(key, b"some figures: 12.6, 0.04\n")
    file = file_of(cache, key)
    data = file.read_bytes()
    for at in range(8 * len(data)):
        flipped = bytearray(data)
        flipped[at // 8] ^= 1 << at % 8
        file.write_bytes(flipped)
        assert cache.get(key) is None, at
    file.write_bytes(data)
    assert cache.get(key) is not None


def test_a_file_under_another_name_is_not_believed(tmp_path: Path) -> None:
    """Sound as it is, it was made from something else."""
    cache, one, other = Cache(tmp_path), BOOK.key("one"), BOOK.key("other")
    cache.put(one, b"figures of one")
    file_of(cache, one).rename(file_of(cache, other))
    assert cache.get(other) is None


@pytest.mark.parametrize("there", ["folder", "pipe", "empty", "too long"])
def test_what_is_no_kept_file_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: str) -> None:
    """And not waited for."""
    cache, key = Cache(tmp_path), BOOK.key()
    file = file_of(cache, key)
    if there == "folder":
        file.mkdir()
    elif there == "pipe":
        os.mkfifo(file)
    elif there == "empty":
        file.write_bytes(b"")
    else:
        cache.put(key, b"longer than allowed")
        monkeypatch.setattr(module, "LONGEST", 10)
    assert cache.get(key) is None


def test_a_folder_that_cannot_be_made_costs_nothing_but_time(tmp_path: Path) -> None:
    """A file stands there, or the name is none."""
    (tmp_path / "blocked").write_bytes(b"")
    for folder in (tmp_path / "blocked" / "cache", "a\0b"):
        assert not Cache(folder).put(BOOK.key(), b"figures")
        assert Cache(folder).get(BOOK.key()) is None
        Cache(folder).prune()


def kept(cache: Cache, ages: list[float], size: int = 10) -> list[str]:
    """Keep something of each age in seconds; the keys."""
    keys = [BOOK.key(str(number)) for number in range(len(ages))]
    for key in keys:
        cache.put(key, b"x" * size)
    for key, age in zip(keys, ages, strict=True):
        when = file_of(cache, key).stat().st_mtime - age
        os.utime(file_of(cache, key), (when, when))
    return keys


@pytest.mark.parametrize(("limit", "most"), [("MOST_FILES", 3), ("MOST_BYTES", 3 * 80), ("MOST_SECONDS", 35)])
def test_what_was_used_longest_ago_goes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str, most: int
) -> None:
    """By number, by size and by age the newest three stay."""
    cache = Cache(tmp_path)
    keys = kept(cache, [10, 60, 20, 50, 30, 40])
    monkeypatch.setattr(module, limit, most)
    cache.prune()
    assert [cache.get(key) is not None for key in keys] == [True, False, True, False, True, False]


def test_what_is_used_is_not_old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A use is noted, once in an hour: what is used daily outlives what is not."""
    cache = Cache(tmp_path)
    used, other = kept(cache, [9_000, 9_000])
    assert cache.get(used) is not None
    monkeypatch.setattr(module, "MOST_SECONDS", 5_000)
    cache.prune()
    assert cache.get(used) is not None
    assert cache.get(other) is None


def test_only_what_the_cache_has_written_is_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever folder the user has chosen for it, his own files stay; those of a stopped run go after an hour."""
    names = ["book-report.txt", f"book-{'0' * 40}.txt", f"{'0' * 40}.kept", f"book-{'0' * 39}.kept", "notes.kept"]
    halves = [f"book-{'0' * 40}.kept.{number}" for number in (12, 345)]
    for name in names + halves:
        (tmp_path / name).write_bytes(b"half")
        os.utime(tmp_path / name, (0, 0))
    os.utime(tmp_path / halves[0])
    (tmp_path / f"book-{'1' * 40}.kept").mkdir()
    monkeypatch.setattr(module, "MOST_BYTES", 5)
    Cache(tmp_path).prune()
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*names, halves[0], f"book-{'1' * 40}.kept"])


def test_keys_are_names_of_files_everywhere() -> None:
    """Letters, digits and a dash."""
    assert set(BOOK.key("a/b", b"\0")) <= set(string.ascii_lowercase + string.digits + "-")


def test_the_folder_is_where_the_system_keeps_such_things(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the XDG base directory specification says: a relative folder counts as none."""
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("HOME", "/home/x")
    for chosen, base, folder in (
        ("", "", "/home/x/.cache/coldiron"),
        ("", "relative", "/home/x/.cache/coldiron"),
        ("", "/var/x", "/var/x/coldiron"),
        ("/own", "/var/x", "/own"),
    ):
        monkeypatch.setenv("COLDIRON_CACHE", chosen)
        monkeypatch.setenv("XDG_CACHE_HOME", base)
        assert Cache().folder == folder


def test_other_code_has_other_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the rooms that make a thing, and no others."""
    before = BOOK.key(), KeptSort("tree", ("language",)).key()
    code = stamp.code_of
    monkeypatch.setattr(stamp, "code_of", lambda rooms: code(rooms) + ("" if rooms else "changed"))
    assert [BOOK.key() == before[0], KeptSort("tree", ("language",)).key() == before[1]] == [False, True]
