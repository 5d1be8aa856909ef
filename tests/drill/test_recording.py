"""The recorded drill replays byte for byte; `--update-recordings` plays it anew."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from coldiron.drill.driver import DrillDriver, opened
from coldiron.drill.recorded import recorded
from coldiron.drill.yard import world_of
from coldiron.screens.plain import run
from coldiron.screens.replay import keep_nothing
from coldiron.screens.transcript import split
from support.mechanic import shipped

FILE = Path(__file__).parents[2] / "transcripts_demo" / "05_drill.txt"
SEED = 5

HEADER = """\
# A drill: a machine that cranks slowly. What is held likely, what a reading rules out, what the score counts.
# Replay it: coldiron drill --replay transcripts_demo/05_drill.txt
"""

TYPED = """\
hold battery, starter
ask how did it crank and run last time
prepare volts 2 to 1 at start
volts 2 to 1
volts 2 to 1 at start
hint
prepare volts 2 to 4 at start
volts 2 to 4 at start
hold positive cable
volts 3 to 4 at start
prepare fix positive cable
fix positive cable
"""


def played(lines: str, driver: DrillDriver) -> tuple[str, DrillDriver]:
    """What the plain screen writes for some lines, and the drill at its end."""
    out = io.StringIO()
    end = run(driver, keep_nothing, io.StringIO(lines), out)
    assert isinstance(end.driver, DrillDriver)
    return out.getvalue(), end.driver


def test_the_recorded_drill_replays_byte_for_byte(request: pytest.FixtureRequest) -> None:
    """And ends with the machine working."""
    if request.config.getoption("--update-recordings"):
        text, _ = played(TYPED, opened(f"Drill {SEED}", world_of(shipped(), SEED)))
        FILE.write_text(f"{HEADER}\n{text}", encoding="utf-8")
    seed, lines = recorded(FILE.read_text(encoding="utf-8"))
    assert (seed, lines) == (SEED, TYPED)
    text, end = played(lines, opened(f"Drill {seed}", world_of(shipped(), seed)))
    assert text == split(FILE.read_text(encoding="utf-8"))[1]
    assert end.play.over == "found"
    assert "rules it out" in text


def test_what_records_no_drill_is_refused() -> None:
    """A recorded job is none."""
    with pytest.raises(ValueError, match="no drill"):
        recorded("# a header\n\nStreet sweeper · 1 min\n")
