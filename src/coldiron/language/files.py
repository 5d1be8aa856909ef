"""Rule files on the disk: which belong to a book, what they are called in messages, and their bytes.

Only plain files are read, below the folder of the book, no links to other folders followed; their number, depth and
size are bounded.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coldiron.problem import Problem
from coldiron.source import Place

SUFFIX = ".rules"
MOST_FILES = 400
MOST_DEEP = 8
MOST_BYTES = 500_000


@dataclass(frozen=True, slots=True)
class RuleFile:
    """One rule file: its name below the book's folder, the name in messages, and its bytes (one too many if longer)."""

    name: str
    shown: str
    data: bytes


def shipped() -> Path:
    """Return the folder of the shipped book: inside the package when installed, else the source tree's."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "book"
    return inside if inside.is_dir() else package.parents[1] / "rules"


def rule_files(root: Path) -> tuple[list[RuleFile], list[Problem]]:
    """Return the rule files of a folder, or the one file `root` is, in order of name, and what could not be read."""
    from coldiron.mistakes import mistake  # noqa: PLC0415 - the wording is needed only when something is wrong

    def problem(kind: str, shown: str, **filling: object) -> Problem:
        return mistake(kind, Place(shown, 1, 1, 1), **filling)

    if not root.exists():
        return [], [problem("no-such-book", str(root))]
    base = root if root.is_dir() else root.parent
    found: list[RuleFile] = []
    problems: list[Problem] = []
    for path in _below(base, 0) if root.is_dir() else iter([root]):
        name = path.relative_to(base).as_posix()
        shown = f"{base.resolve().name}/{name}"
        if len(found) == MOST_FILES:
            problems.append(problem("too-many-files", shown, most=MOST_FILES))
            break
        data = _content(path)
        if isinstance(data, bytes):
            found.append(RuleFile(name, shown, data))
        else:
            problems.append(problem("unreadable", shown, why=data))
    if not found and not problems:
        problems.append(problem("empty-book", base.resolve().name))
    return found, problems


def _below(folder: Path, depth: int) -> Iterator[Path]:
    """Yield the rule files below a folder in order of name, as the byte values of the names have it."""
    try:
        names = sorted(os.listdir(folder), key=os.fsencode)
    except OSError:
        return
    for name in names:
        path = folder / name
        if path.is_dir() and not path.is_symlink() and depth < MOST_DEEP and not name.startswith("."):
            yield from _below(path, depth + 1)
        elif name.endswith(SUFFIX) and not name.startswith("."):
            yield path


def _content(path: Path) -> bytes | str:
    """Return the bytes of a file (at most one more than allowed), or why it cannot be read."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            return "it is no plain file"
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as fault:
        return fault.strerror or str(fault)
