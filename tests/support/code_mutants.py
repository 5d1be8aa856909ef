"""Small mistakes made in a file of code, one at a time, as a hand could make them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

from support.code_mistakes import mistakes


@dataclass(frozen=True)
class Mutant:
    """One mistake: bytes from `start` to `end` of a file stand for others.

    `lines` are those by which it is told whether a test runs it; `needs` are names instead, where it is run while the
    file is loaded: tests that run a line with such a name count.
    """

    path: str
    line: int
    start: int
    end: int
    text: str
    what: str
    lines: range
    needs: tuple[str, ...] = ()

    def applied(self, source: bytes) -> bytes:
        """The file with the mistake."""
        return source[: self.start] + self.text.encode() + source[self.end :]


def mutants(path: str, source: bytes) -> list[Mutant]:
    """All mistakes that are known for a file, in the order of their places."""
    tree = ast.parse(source)
    starts = [0]
    for line in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found = []
    for node, home in _places(tree):
        for text, what in mistakes(node, home.function):
            put = node.test if isinstance(node, ast.If | ast.While) else node
            span = (
                starts[put.lineno - 1] + put.col_offset,
                starts[(put.end_lineno or 0) - 1] + (put.end_col_offset or 0),
            )
            found.append(Mutant(path, put.lineno, *span, text, what, *_run_by(home)))
    return sorted(found, key=lambda one: (one.start, one.end, one.text))


def stands(mutant: Mutant, source: bytes) -> bool:
    """Whether a file with the mistake can still be read as code, and as another than without."""
    try:
        return ast.dump(ast.parse(mutant.applied(source))) != ast.dump(ast.parse(source))
    except SyntaxError:
        return False


@dataclass(frozen=True)
class Home:
    """Where a node stands: its statement, its function and the outermost statement of the file."""

    top: ast.stmt
    statement: ast.stmt
    function: ast.FunctionDef | None


LEFT_OUT = (ast.Import, ast.ImportFrom, ast.JoinedStr)
"""Nothing in these is changed: the places of what stands in a formatted text are not known before Python 3.12."""


def _places(tree: ast.Module) -> Iterator[tuple[ast.expr | ast.stmt, Home]]:
    for statement in tree.body:
        if not _is_told(statement):
            yield from _inside(statement, Home(statement, statement, None))


def _inside(node: ast.AST, home: Home) -> Iterator[tuple[ast.expr | ast.stmt, Home]]:
    if isinstance(node, LEFT_OUT) or (isinstance(node, ast.stmt) and _is_told(node)):
        return
    if isinstance(node, ast.stmt):
        inner = node if isinstance(node, ast.FunctionDef) else home.function
        home = Home(home.top, node, home.function if isinstance(node, ast.FunctionDef) else inner)
    if isinstance(node, (ast.expr, ast.stmt)):
        yield node, home
    if isinstance(node, ast.FunctionDef):
        home = Home(home.top, node, node)
    for name, value in ast.iter_fields(node):
        if name not in ("annotation", "returns", "decorator_list", "bases", "type_params", "format_spec"):
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from _inside(child, home)


def _is_told(statement: ast.stmt) -> bool:
    """Whether it is only words for people or for the type checker, or can never be run."""
    text = ast.unparse(statement).partition("\n")[0]
    return (
        (isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant))
        or text.startswith(("if TYPE_CHECKING", "TYPE_CHECKING", "__all__", "__slots__", "raise AssertionError"))
        or "TypeVar(" in text
        or "Literal[" in text.partition("=")[2]
    )


def _run_by(home: Home) -> tuple[range, tuple[str, ...]]:
    """Lines by which a test is known to run it, or names."""
    statement, function = home.statement, home.function
    if function is None:
        return range(0), tuple(sorted(_names(home.top, statement)))
    if statement is function:  # a default
        first, last = function.body[0].lineno, function.body[-1].end_lineno
        return range(first, (last or first) + 1), ()
    body = getattr(statement, "body", None) or getattr(statement, "cases", None)
    ends = body[0].lineno - 1 if isinstance(body, list) and hasattr(body[0], "lineno") else statement.end_lineno
    if isinstance(statement, ast.Match):
        ends = statement.lineno
    return range(statement.lineno, max(ends or 0, statement.lineno) + 1), ()


def _names(top: ast.stmt, statement: ast.stmt) -> set[str]:
    """What is bound by a statement that is run while its file is loaded."""
    if isinstance(top, (ast.ClassDef, ast.FunctionDef)):
        return {top.name}
    bound = {node.id for node in ast.walk(statement) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}
    return bound or {node.id for node in ast.walk(statement) if isinstance(node, ast.Name)}
