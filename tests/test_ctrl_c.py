"""Ctrl-C while a command is still being imported: it ends quietly, as it does later."""

from __future__ import annotations

import subprocess
import sys
from functools import lru_cache
from pathlib import Path

import pytest

from coldiron.cli import STOPPED

STARTED = """
import runpy, sys

class Stopping:
    def find_spec(self, name, path=None, target=None):
        print(name, file=seen, flush=True)
        if name == stop:
            raise KeyboardInterrupt

seen, stop = open(sys.argv.pop(1), "w"), sys.argv.pop(1)
sys.meta_path.insert(0, Stopping())
runpy.run_module("coldiron", run_name="__main__", alter_sys=True)
"""
"""A command that is stopped when it comes to a module, as by Ctrl-C; the modules it looks for are noted."""

OWN = ("__future__", "coldiron", "coldiron.__main__", "coldiron.cli", "coldiron.cli.exits")
"""Imported before anything can be guarded: they hold nothing that takes time."""

SHARE = 9
"""Of the modules every so many is tried."""


def started(folder: Path, stop: str = "") -> tuple[subprocess.CompletedProcess[str], list[str]]:
    """A first question in plain lines, and the modules that were looked for until it ended."""
    seen = folder / "seen"
    command = [sys.executable, "-c", STARTED, str(seen), stop, "find", "--plain"]
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)
    return done, seen.read_text(encoding="utf-8").split()


@lru_cache(maxsize=1)
def modules(folder: Path) -> list[str]:
    """What a start imports, in order, behind the first few."""
    done, seen = started(folder)
    assert "Traceback" not in done.stderr
    return [name for name in dict.fromkeys(seen) if name not in OWN]


@pytest.mark.parametrize("first", range(SHARE))
def test_ctrl_c_while_a_command_is_imported_is_quiet(
    first: int, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever is being imported: nothing is complained of, and the exit code says that it was stopped."""
    names = modules(tmp_path_factory.getbasetemp())
    assert "coldiron.consult.session" in names
    for name in names[first :: SHARE * 4]:
        done, seen = started(tmp_path, name)
        assert name in seen
        assert (done.returncode, done.stderr) == (STOPPED, ""), name


def test_what_comes_before_takes_no_time() -> None:
    """The few modules that are imported before Ctrl-C is guarded need no others."""
    program = "import sys; before = set(sys.modules); import coldiron.cli; print(*sorted(set(sys.modules) - before))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) <= set(OWN)
