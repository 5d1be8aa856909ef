"""Rows of single faults that are kept in a file: the same to the last bit, and never trusted if they are not ours."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coldiron.book.history import COMPLAINT
from coldiron.inference.kept import OPENING, ROWS, KeptTable
from coldiron.store.cache import Cache, KeptSort

CHECKS = ("feed", "crank")
FAULTS = ("fuse.blown", "wire.broken")
MACHINE = ("a book", "a circuit")


def key_of(sort: KeptSort, checks: tuple[str, ...]) -> str:
    """Under what rows of these checks are kept."""
    return sort.key(*MACHINE, " ".join(checks), " ".join(FAULTS))


class Counting:
    """A table that counts what it is asked."""

    def __init__(self) -> None:
        self.asked = 0

    def chances(self, check: str, faults: frozenset[str]) -> tuple[float | None, ...]:
        self.asked += 1
        share = (len(check) + sum(map(len, faults))) / 70
        return (share, 1 - share, None)


def test_rows_from_the_file_are_those_worked_out(tmp_path: Path) -> None:
    """A second start asks the table nothing and gives the very same rows."""
    first, second = Counting(), Counting()
    one = KeptTable(first, CHECKS, FAULTS, Cache(tmp_path), MACHINE)
    assert first.asked == 6
    two = KeptTable(second, CHECKS, FAULTS, Cache(tmp_path), MACHINE)
    sets = [frozenset[str](), frozenset({"fuse.blown"}), frozenset({"wire.broken"})]
    assert [two.chances(c, s) for c in CHECKS for s in sets] == [one.chances(c, s) for c in CHECKS for s in sets]
    assert second.asked == 0


def test_other_sets_and_checks_come_from_the_table(tmp_path: Path) -> None:
    """Pairs, and checks that are not kept, are asked for each time."""
    behind = Counting()
    table = KeptTable(behind, CHECKS, FAULTS, Cache(tmp_path), MACHINE)
    before = behind.asked
    table.chances("feed", frozenset(FAULTS))
    table.chances("other", frozenset())
    assert behind.asked == before + 2


@pytest.mark.parametrize("content", ["", "[]", "{", '{"checks": ["feed", "crank"], "faults": [], "rows": []}', "null"])
def test_a_file_that_is_not_ours_is_made_again(tmp_path: Path, content: str) -> None:
    """Damage costs time and nothing else."""
    cache, key = Cache(tmp_path), key_of(ROWS, CHECKS)
    for write in ((tmp_path / f"{key}.kept").write_bytes, lambda data: cache.put(key, data)):
        write(content.encode())
        assert KeptTable(Counting(), CHECKS, FAULTS, cache, MACHINE).chances("feed", frozenset()) == pytest.approx(
            (4 / 70, 66 / 70, None)
        )
        assert len(json.loads(cache.get(key) or b"")["places"]) == len(CHECKS)


@pytest.mark.parametrize(
    ("checks", "faults", "machine"),
    [(CHECKS[::-1], FAULTS, MACHINE), (CHECKS, FAULTS[:1], MACHINE), (CHECKS, FAULTS, ("a book", "other"))],
)
def test_rows_of_others_are_not_taken(
    tmp_path: Path, checks: tuple[str, ...], faults: tuple[str, ...], machine: tuple[str, ...]
) -> None:
    """Of other checks, other faults, another machine."""
    KeptTable(Counting(), CHECKS, FAULTS, Cache(tmp_path), MACHINE)
    behind = Counting()
    KeptTable(behind, checks, faults, Cache(tmp_path), machine)
    assert behind.asked == len(checks) * (1 + len(faults))


def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path: Path) -> None:
    """The rows are there all the same."""
    blocked = tmp_path / "file"
    blocked.write_text("no folder", encoding="utf-8")
    table = KeptTable(Counting(), CHECKS, FAULTS, Cache(blocked), MACHINE)
    assert table.chances("crank", frozenset()) == pytest.approx((5 / 70, 65 / 70, None))


def test_the_opening_of_a_job_is_kept_by_complaint(tmp_path: Path) -> None:
    """What the first judgement on a complaint asked for is at hand at the next start, pairs included."""
    checks, pair, cache = (COMPLAINT, "feed"), frozenset(FAULTS), Cache(tmp_path)
    one = KeptTable(Counting(), checks, FAULTS, cache, MACHINE)
    row = one.chances(COMPLAINT, pair)
    one.keep_opening("silent")
    behind = Counting()
    two = KeptTable(behind, checks, FAULTS, cache, MACHINE)
    assert two.openings == {"silent"}
    assert (two.chances(COMPLAINT, pair), behind.asked) == (row, 0)


def test_a_damaged_opening_is_worked_out_again(tmp_path: Path) -> None:
    """It costs time and nothing else."""
    checks, cache = (COMPLAINT, "feed"), Cache(tmp_path)
    KeptTable(Counting(), checks, FAULTS, cache, MACHINE)
    key = key_of(OPENING, checks)
    for write in ((tmp_path / f"{key}.kept").write_bytes, lambda data: cache.put(key, data)):
        write(b'{"rows": 3}')
        assert KeptTable(Counting(), checks, FAULTS, cache, MACHINE).openings == set()
