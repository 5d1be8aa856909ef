"""Damaged rule files, as many as `support.sizes` says: never a traceback, each in bounded time and memory.

Every shipped file is damaged in proportion to its size. Each damaged file is read as the one changed file of the
book; every fiftieth is built with the whole book.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from coldiron.language.files import rule_files, shipped
from support.mutations import DAMAGES, damaged
from support.sizes import size

PORTIONS = size(2, 4, 4)
EACH = size(100, 500, 2_500)


@pytest.mark.slow
@pytest.mark.parametrize("portion", range(PORTIONS))
def test_no_damage_brings_a_traceback_or_takes_long_or_much(portion: int) -> None:
    """In a process with 200 MB, each within 2 s; nearly all of the damage is noticed."""
    command = [sys.executable, "-m", "support.mutations", str(EACH), str(portion * EACH)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=Path(__file__).parents[1])
    assert done.returncode == 0, done.stderr[-2000:]
    found = json.loads(done.stdout)
    assert found["wrong"] == []
    assert found["count"] == EACH
    assert found["worst_seconds"] <= 2.0, found["worst"]
    assert found["megabytes"] <= 200
    assert found["with_problems"] > EACH // 2


def test_every_file_is_damaged_in_proportion_to_its_size() -> None:
    """Over all seeds, and every sort of damage is done."""
    files, _ = rule_files(shipped())
    total = sum(len(file.data) for file in files)
    times: dict[str, int] = {}
    kinds: set[str] = set()
    for seed in range(2_000):
        file, _, names = damaged(seed, files)
        times[file.shown] = times.get(file.shown, 0) + 1
        kinds.update(names.split("+"))
    assert kinds == {damage.__name__ for damage in DAMAGES}
    for file in files:
        expected = 2_000 * len(file.data) / total
        assert 0.4 * expected - 8 <= times.get(file.shown, 0) <= 1.7 * expected + 8


def test_the_same_seed_does_the_same_damage() -> None:
    """So a failure can be looked at."""
    files, _ = rule_files(shipped())
    assert [damaged(seed, files)[1] for seed in range(60)] == [damaged(seed, files)[1] for seed in range(60)]
