"""The real command, killed at any moment, loses and doubles nothing that it has shown as saved."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from coldiron.jobs.home import FILE
from coldiron.jobs.store import open_store
from support.kill_command import Log, Victim, run
from support.kill_loop import kills_wanted

KILLS = kills_wanted() // 10
COMMAND = [sys.executable, "-m", "coldiron.cli"]


def seconds_to_the_first_question(env: dict[str, str]) -> float:
    """How long a start takes on this machine, with everything in its caches."""
    subprocess.run([*COMMAND, "find"], env=env, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    start = time.monotonic()
    subprocess.run([*COMMAND, "find"], env=env, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    return time.monotonic() - start


@pytest.mark.slow
def test_the_command_killed(tmp_path: Path) -> None:
    """Killed while starting, while answering and between keys: every answer shown as saved is there, once, in order."""
    env = {
        "PATH": os.environ.get("PATH", ""),
        "COLDIRON_HOME": str(tmp_path / "home"),
        "XDG_CACHE_HOME": str(tmp_path / "cache"),
        "HOME": str(tmp_path),
        "LANG": "C.UTF-8",
        "TERM": "xterm-256color",
    }

    def log() -> Log:
        with open_store(tmp_path / "home" / FILE) as store:
            jobs = [job for job in store.jobs() if job.name == "kill me"]
            return [event.value or f"park {event.seq}" for event in store.events(jobs[0].id)] if jobs else []

    start = seconds_to_the_first_question({**env, "COLDIRON_HOME": str(tmp_path / "other")})
    victim = Victim(
        begin=[*COMMAND, "find", "kill me"],
        resume=[*COMMAND, "resume"],
        env=env,
        count=re.compile(r"Saved \((\d+)\)"),
        answer=lambda number: f"note n{number}",
        log=log,
    )
    for starts in (2.5, 5, 10):  # a processor with other work takes longer than it just took
        tally = run(victim, KILLS, 22, starts * start)
        assert tally.kills == KILLS
        assert (tally.lost, tally.doubled, tally.unasked) == (0, 0, 0)
        if tally.progress:
            break
    assert tally.progress > 0
