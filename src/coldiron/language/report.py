"""A folder of rule files as a mechanic wants it judged: every problem drawn, then what the book holds."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

from coldiron.language.load import load


def report(path: Path | None = None) -> str:
    """Return the problems of a book and how many entries of each sort it has."""
    book, problems = load(path)
    lines = []
    for problem in problems:
        lines.append(str(problem))
        if problem.nearest:
            lines.append(f"    did you mean '{problem.nearest}'?")
        elif problem.allowed:
            lines.append(f"    could stand there: {', '.join(problem.allowed)}")
        lines += [f"    {note}: {place}" for note, place in problem.related]
    counts = ", ".join(f"{len(getattr(book, entry.name))} {entry.name}" for entry in fields(book)[1:])
    return "\n".join([*lines, f"{len(problems)} problems", counts])
