"""The examples in the engine's docstrings run, and the engine stands alone."""

from __future__ import annotations

import doctest
import subprocess
import sys

import coldiron.engine


def test_the_examples_of_the_engine_run_as_shown() -> None:
    outcome = doctest.testmod(coldiron.engine)
    assert outcome.attempted > 10
    assert outcome.failed == 0


def test_the_engine_imports_nothing_of_coldiron_but_itself() -> None:
    """In a fresh interpreter, so that nothing imported by another test hides it."""
    code = "import sys, coldiron.engine; print(*sorted(m for m in sys.modules if m.startswith('coldiron')))"
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    modules = shown.stdout.split()
    assert "coldiron.engine.loop" in modules
    assert [name for name in modules if not name.startswith("coldiron.engine")] == ["coldiron"]
