"""Rule files to a book and its problems: found, read, parsed, built; kept in the cache between runs.

Nothing here imports the parser or the validator: a book that is in the cache needs neither.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coldiron.model import Book
    from coldiron.problem import Problem

SUFFIX = ".rules"


def shipped() -> Path:
    """Return the folder of the shipped book: inside the package when installed, else the source tree's."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "book"
    return inside if inside.is_dir() else package.parents[1] / "rules"


def load(path: Path | None = None) -> tuple[Book, tuple[Problem, ...]]:
    """Return the book of a folder (or of one file) and its problems; without a path, the shipped book."""
    from coldiron.language.build.book import build  # noqa: PLC0415 - the parser is needed only without a cache
    from coldiron.language.read import read  # noqa: PLC0415 - likewise

    root = path or shipped()
    trees, problems = [], []
    digest = hashlib.sha256()
    for name, data in files(root):
        digest.update(f"{name}\0{len(data)}\0".encode())
        digest.update(data)
        tree, found = read(name, data)
        trees.append(tree)
        problems += found
    book, found = build(trees, digest.hexdigest())
    problems += found
    return book, tuple(sorted(problems, key=lambda problem: (problem.place.file, problem.place.line)))


def files(root: Path) -> list[tuple[str, bytes]]:
    """Return name and content of every rule file below a folder, in order of name; names are as shown in messages."""
    paths = sorted(root.rglob(f"*{SUFFIX}")) if root.is_dir() else [root]
    base = root if root.is_dir() else root.parent
    return [(f"{base.name}/{path.relative_to(base).as_posix()}", path.read_bytes()) for path in paths]
