"""Who may import whom: the parser and the validator stay in the language, and the audit stands on records alone."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import coldiron

SOURCE = Path(coldiron.__file__).parent


def imported(path: Path) -> Iterator[str]:
    """Yield the modules a file imports, anywhere in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


def test_only_the_language_imports_the_parser_and_the_validator() -> None:
    """A consultation needs neither."""
    for path in SOURCE.rglob("*.py"):
        if path.relative_to(SOURCE).parts[0] != "language":
            assert not {"pyparsing", "pydantic"} & {name.partition(".")[0] for name in imported(path)}, path


def test_the_audit_needs_records_and_words_only() -> None:
    """No text, no circuit, no belief; its report alone loads a book."""
    allowed = {"coldiron.audit", "coldiron.mistakes", "coldiron.model", "coldiron.problem", "coldiron.record"}
    allowed.add("coldiron.source")
    for path in (SOURCE / "audit").glob("*.py"):
        own = {".".join(name.split(".")[:2]) for name in imported(path) if name.startswith("coldiron")}
        assert own <= allowed or path.name == "report.py", (path, own - allowed)


def test_records_and_problems_stand_at_the_bottom() -> None:
    """They import nothing of the project but each other."""
    for name in ("record", "source", "model", "problem"):
        own = {one for one in imported(SOURCE / f"{name}.py") if one.startswith("coldiron")}
        assert own <= {"coldiron.record", "coldiron.source"}
