"""No answer that was acknowledged is ever lost or doubled, whatever moment the process is killed at.

The loop that kills, and how many kills there are, is in `support/kill_loop.py`.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from support.kill_loop import MODES, PER_FILE, kills_wanted

KILLS = kills_wanted()
LOOP = Path(__file__).parents[1] / "support" / "kill_loop.py"


def tally(folder: Path, kills: int, seed: int, *modes: str) -> dict[str, int]:
    done = subprocess.run(
        [sys.executable, str(LOOP), str(folder), str(kills), str(seed), *modes], capture_output=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
    found: dict[str, int] = json.loads(done.stdout)
    return found


@pytest.mark.slow
def test_kills_lose_nothing(tmp_path: Path) -> None:
    """All that was acknowledged is there, once and in order; nothing is half there; the file is sound.

    The kills come inside transactions, inside checkpoints, at chosen writes, and while the file is reopened.
    """
    kills = max(KILLS, len(MODES) * PER_FILE)
    counted = tally(tmp_path, kills, 20)
    assert counted["kills"] == kills
    assert {name: counted[name] for name in ("lost", "doubled", "torn", "damaged")} == dict.fromkeys(
        ("lost", "doubled", "torn", "damaged"), 0
    )
    # The kills did hit where it matters.
    assert counted["acknowledged"] > kills
    assert counted["inside a transaction"] > kills / 10
    assert counted["inside a transaction: checkpoint"] > 0
    assert counted["inside a transaction: write"] > 0
    assert counted["while opening"] > 0
    assert counted["committed but not acknowledged"] > 0


@pytest.mark.slow
def test_the_loop_finds_a_store_that_acknowledges_too_early(tmp_path: Path) -> None:
    """The same loop on a victim that says saved before the commit counts losses; so it can see them."""
    assert tally(tmp_path, 60, 21, "lying")["lost"] > 0
