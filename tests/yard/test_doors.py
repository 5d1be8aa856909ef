"""The second reckoner knows nothing of the program but what a screen knows."""

from __future__ import annotations

import ast
from pathlib import Path

HERE = Path(__file__).parent

DOOR = "screen.py"

FOR_A_SCREEN = {
    "coldiron.Consultation",
    "coldiron.load_book",
    "coldiron.screens.drawing.draw",
    "coldiron.screens.driver.JobDriver",
    "coldiron.screens.lines.Driver",
    "coldiron.screens.lines.Reply",
    "coldiron.screens.lines.take",
    "coldiron.job.steps.Step",
    "coldiron.book.book.Book",
}
"""What the door may use: begin or resume a job, draw its page, type a line; book and log only to hand them on."""

LIBRARY = {
    "__future__",
    "argparse",
    "ast",
    "collections",
    "dataclasses",
    "functools",
    "os",
    "pathlib",
    "random",
    "re",
    "sys",
}


def names(path: Path) -> set[str]:
    """Every name that a file imports, with where it is from."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            found |= {f"{node.module}.{name.name}" for name in node.names}
    return found


def test_only_one_file_knows_the_program() -> None:
    """All but the door import the standard library and each other, nothing of the program or of its other tests."""
    for path in HERE.glob("*.py"):
        if path.name != DOOR:
            rooms = {name.partition(".")[0] for name in names(path)}
            assert rooms <= LIBRARY | {"yard", "pytest"}, f"{path.name} imports {sorted(rooms - LIBRARY)}"


def test_the_door_lets_in_what_a_screen_uses() -> None:
    """The door imports what a screen needs, and nothing that tells what the program believes."""
    theirs = {name for name in names(HERE / DOOR) if name.partition(".")[0] == "coldiron"}
    assert theirs <= FOR_A_SCREEN, sorted(theirs - FOR_A_SCREEN)


def test_nobody_reaches_through_the_door() -> None:
    """What the door holds of the program stays in the door: no other file touches a private name of another object."""
    for path in HERE.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr.startswith("_") and not node.attr.startswith("__"):
                assert isinstance(node.value, ast.Name), f"{path.name}:{node.lineno}"
                assert node.value.id == "self", f"{path.name}:{node.lineno}"
