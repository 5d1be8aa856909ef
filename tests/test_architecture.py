"""The rooms of the house and the doors between them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from support.imports import imported

PACKAGE = Path(__file__).parents[1] / "src" / "coldiron"
FILES = sorted(PACKAGE.rglob("*.py"))

MAY_IMPORT: dict[str, set[str]] = {
    "engine": set(),
    "diagnosis": {"model", "source", "record", "circuits", "folders"},
    "circuits": {"model", "source", "record", "folders"},
    "jobs": {"folders", "record"},
    "sizing": {"circuits"},
    "language": {"model", "source", "record", "problem", "mistakes", "drawing", "plaintext", "folders", "garbage"},
    "audit": {
        "model",
        "source",
        "record",
        "problem",
        "mistakes",
        "drawing",
        "engine",
        "circuits",
        "consult",
        "language",
    },
    "proving": {
        "model",
        "source",
        "record",
        "problem",
        "drawing",
        "folders",
        "engine",
        "circuits",
        "diagnosis",
        "consult",
        "audit",
        "checkup",
    },
}
"""What each package may use of the others; packages not named here are the outermost."""


def rooms(modules: set[str]) -> set[str]:
    """The parts of the project among some modules."""
    return {name.split(".")[1] for name in modules if name.startswith("coldiron.") and name.count(".") >= 1}


@pytest.mark.parametrize("package", sorted(MAY_IMPORT))
def test_imports_point_one_way(package: str) -> None:
    """A package uses only what stands below it."""
    known = {path.stem for path in PACKAGE.glob("*.py")} | {path.name for path in PACKAGE.iterdir() if path.is_dir()}
    for path in (PACKAGE / package).rglob("*.py"):
        used = (rooms(imported(path)) & known) - {package}
        assert used <= MAY_IMPORT[package], f"{path.name} uses {sorted(used - MAY_IMPORT[package])}"


def test_only_the_language_knows_the_parser() -> None:
    """The parser and the validator stay behind one door."""
    for path in FILES:
        if {"pyparsing", "pydantic"} & {name.partition(".")[0] for name in imported(path)}:
            assert path.is_relative_to(PACKAGE / "language"), path


def test_only_one_file_knows_the_terminal() -> None:
    """prompt_toolkit is imported by the terminal screen alone."""
    users = [path.name for path in FILES if any(name.startswith("prompt_toolkit") for name in imported(path))]
    assert users == ["screen.py"]


HEAVY = (
    "pyparsing",
    "pydantic",
    "prompt_toolkit",
    "platformdirs",
    "coldiron.circuits",
    "coldiron.diagnosis",
    "sqlite3",
)


def test_the_first_plain_question_loads_nothing_heavy(tmp_path: Path) -> None:
    """On a warm cache the first question on plain lines needs no parser, validator, solver or terminal library."""
    program = (
        "import sys\n"
        "from coldiron import Consultation, load_book\n"
        "book, _ = load_book()\n"
        "assert Consultation(book).next is not None\n"
        f"print([name for name in {HEAVY[:-1]!r} if name in sys.modules])\n"
    )
    environment = {"COLDIRON_CACHE": str(tmp_path), "PATH": "/usr/bin:/bin"}
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True
        )
    assert done.stdout.strip() == "[]"
