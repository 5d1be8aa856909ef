"""Rows of single faults that are kept in a file: the same to the last bit, and never trusted if they are not ours."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coldiron.diagnosis.kept import KeptTable
from coldiron.folders import read_kept, write_kept
from coldiron.model import COMPLAINT

CHECKS = ("feed", "crank")
FAULTS = ("fuse.blown", "wire.broken")


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
    one = KeptTable(first, CHECKS, FAULTS, tmp_path / "rows.json")
    assert first.asked == 6
    two = KeptTable(second, CHECKS, FAULTS, tmp_path / "rows.json")
    sets = [frozenset[str](), frozenset({"fuse.blown"}), frozenset({"wire.broken"})]
    assert [two.chances(c, s) for c in CHECKS for s in sets] == [one.chances(c, s) for c in CHECKS for s in sets]
    assert second.asked == 0


def test_other_sets_and_checks_come_from_the_table(tmp_path: Path) -> None:
    """Pairs, and checks that are not kept, are asked for each time."""
    behind = Counting()
    table = KeptTable(behind, CHECKS, FAULTS, tmp_path / "rows.json")
    before = behind.asked
    table.chances("feed", frozenset(FAULTS))
    table.chances("other", frozenset())
    assert behind.asked == before + 2


@pytest.mark.parametrize("content", ["", "[]", "{", '{"checks": ["feed", "crank"], "faults": [], "rows": []}', "null"])
def test_a_file_that_is_not_ours_is_made_again(tmp_path: Path, content: str) -> None:
    """Damage costs time and nothing else."""
    file = tmp_path / "rows.json"
    for write in (file.write_bytes, lambda data: write_kept(file, data)):
        write(content.encode())
        assert KeptTable(Counting(), CHECKS, FAULTS, file).chances("feed", frozenset()) == pytest.approx(
            (4 / 70, 66 / 70, None)
        )
        assert json.loads(read_kept(file) or b"")["faults"] == list(FAULTS)


def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path: Path) -> None:
    """The rows are there all the same."""
    blocked = tmp_path / "file"
    blocked.write_text("no folder", encoding="utf-8")
    table = KeptTable(Counting(), CHECKS, FAULTS, blocked / "rows.json")
    assert table.chances("crank", frozenset()) == pytest.approx((5 / 70, 65 / 70, None))


def test_the_opening_of_a_job_is_kept_by_complaint(tmp_path: Path) -> None:
    """What the first judgement on a complaint asked for is at hand at the next start, pairs included."""
    checks, pair, file = (COMPLAINT, "feed"), frozenset(FAULTS), tmp_path / "rows-a.json"
    one = KeptTable(Counting(), checks, FAULTS, file)
    row = one.chances(COMPLAINT, pair)
    one.keep_opening("silent")
    behind = Counting()
    two = KeptTable(behind, checks, FAULTS, file)
    assert two.openings == {"silent"}
    assert (two.chances(COMPLAINT, pair), behind.asked) == (row, 0)


def test_a_damaged_opening_is_worked_out_again(tmp_path: Path) -> None:
    """It costs time and nothing else."""
    checks, file = (COMPLAINT, "feed"), tmp_path / "rows-a.json"
    KeptTable(Counting(), checks, FAULTS, file)
    opening = tmp_path / "opening-a.json"
    for write in (opening.write_bytes, lambda data: write_kept(opening, data)):
        write(b'{"rows": 3}')
        assert KeptTable(Counting(), checks, FAULTS, file).openings == set()
