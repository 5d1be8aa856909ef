"""Every figure that has a name says of what it is, in what unit, and why it is so."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "coldiron"


def is_figure(node: ast.expr | None) -> bool:
    """Whether an expression is a number, or numbers reckoned or listed."""
    match node:
        case ast.Constant(value=bool()):
            return False
        case ast.Constant(value=int() | float()):
            return True
        case ast.UnaryOp(operand=operand):
            return is_figure(operand)
        case ast.BinOp(left=left, right=right):
            return is_figure(left) and is_figure(right)
        case ast.Tuple(elts=figures) | ast.List(elts=figures) | ast.Dict(values=figures):
            return bool(figures) and all(map(is_figure, figures))
    return False


def names(statement: ast.stmt) -> list[str]:
    """The names in capitals that a statement gives to figures."""
    match statement:
        case ast.Assign(targets=[target], value=value) | ast.AnnAssign(target=target, value=value) if is_figure(value):
            bound = target.elts if isinstance(target, ast.Tuple) else [target]
            return [node.id for node in bound if isinstance(node, ast.Name) and node.id.isupper()]
    return []


def is_told(lines: list[str], body: list[ast.stmt], place: int) -> bool:
    """Whether words stand beside a figure, or below it and the figures that follow without a blank line."""
    while True:
        here, *after = body[place : place + 2]
        if any("#" in line for line in lines[here.lineno - 1 : here.end_lineno]):
            return True
        if not after or after[0].lineno != (here.end_lineno or 0) + 1:
            return False
        match after[0]:
            case ast.Expr(value=ast.Constant(value=str())):
                return True
            case ast.Assign() | ast.AnnAssign():
                place += 1
            case _:
                return False


def untold(text: str) -> list[str]:
    """The names of figures in a file that nothing is said of."""
    body, lines = ast.parse(text).body, text.splitlines()
    return [name for place, node in enumerate(body) for name in names(node) if not is_told(lines, body, place)]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("A = 1\n", ["A"]),
        ('A = 1\n"""Volts."""\n', []),
        ("A = 1  # volts\n", []),
        ('A, B = 1, -2.0\n_C = 3\n"""Volts, all three."""\n', []),
        ('A = 1\n\nB = 2\n"""Volts."""\n', ["A"]),
        ("A = 60 * 60\ndef f(): ...\n", ["A"]),
        ('A = "text"\nB = True\n', []),
        ("_A: float = 0.5\n", ["_A"]),
    ],
)
def test_words_are_looked_for_where_a_reader_does(text: str, found: list[str]) -> None:
    """On the same line, or right below."""
    assert untold(text) == found


def test_every_figure_with_a_name_is_told_of() -> None:
    """All of them, those of one file included."""
    found = {str(path.relative_to(PACKAGE)): untold(path.read_text(encoding="utf-8")) for path in PACKAGE.rglob("*.py")}
    assert {path: names for path, names in found.items() if names} == {}
