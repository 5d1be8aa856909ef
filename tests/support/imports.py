"""What a file of the package imports, read from its text."""

from __future__ import annotations

import ast
from pathlib import Path


def imported(path: Path) -> set[str]:
    """All modules a file imports, anywhere in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found.update(f"{node.module}.{name.name}" for name in node.names)
    return found
