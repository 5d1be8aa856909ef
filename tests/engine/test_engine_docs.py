"""The examples in the engine's docstrings run, and the engine stands alone."""

from __future__ import annotations

import ast
import doctest
import sys
from pathlib import Path

import coldiron.engine


def test_the_examples_of_the_engine_run_as_shown() -> None:
    outcome = doctest.testmod(coldiron.engine)
    assert outcome.attempted > 10
    assert outcome.failed == 0


def test_the_engine_imports_nothing_of_coldiron_but_itself() -> None:
    """Every import of every file: the standard library or the engine."""
    folder = Path(coldiron.engine.__file__).parent
    files = sorted(folder.glob("**/*.py"))
    assert folder / "loop.py" in files
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                assert node.level == 0
                names = [node.module or ""]
            elif isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            else:
                continue
            for name in names:
                assert name.startswith("coldiron.engine") or name.partition(".")[0] in sys.stdlib_module_names, file
