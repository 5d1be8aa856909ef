"""What a file of the package imports, read from its text."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
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


def lazy(path: Path) -> list[str]:
    """The imports of a file that wait until a function is called, each with the name of the function."""
    return sorted({f"{function.name}: {ast.unparse(node)}" for function, node in _lazy(path)})


def _lazy(path: Path) -> Iterator[tuple[ast.FunctionDef, ast.stmt]]:
    for function in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(function, ast.FunctionDef):
            for node in ast.walk(function):
                if isinstance(node, ast.Import | ast.ImportFrom):
                    yield function, node


def longest_chain(doors: Mapping[str, set[str]]) -> tuple[str, ...]:
    """The most modules that import each other in a row, the lowest first; there is no circle among them."""
    known: dict[str, tuple[str, ...]] = {}

    def below(name: str) -> tuple[str, ...]:
        if name not in known:
            known[name] = (*max(map(below, sorted(doors[name])), key=len, default=()), name)
        return known[name]

    return max(map(below, sorted(doors)), key=len)
