"""What may stand in the place of a piece of code by mistake."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator

TURNED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.Gt),
    ast.LtE: (ast.Lt, ast.GtE),
    ast.Gt: (ast.GtE, ast.Lt),
    ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
"""A comparison's boundary moved, and the comparison turned round."""

SUMS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
OPPOSITES = {"min": "max", "max": "min", "any": "all", "all": "any"}
EMPTY = {"bool": "not ({})", "str": '""', "int": "0", "float": "0.0", "list": "[]", "tuple": "()", "dict": "{{}}"}
"""What is returned in the place of something, by the first word of its type; `None` of any other."""


def mistakes(node: ast.expr | ast.stmt, function: ast.FunctionDef | None) -> Iterator[tuple[str, str]]:
    """The texts that may stand in the place of a node of a function, each with what was done.

    Those of an `if` or a `while` stand in the place of what it asks.
    """
    match node:
        case ast.Compare() | ast.BoolOp() | ast.UnaryOp() | ast.BinOp():
            yield from _other_operator(node)
        case ast.Constant():
            yield from _other_constant(node.value)
        case ast.Call():
            yield from _other_call(node)
        case ast.IfExp():
            yield _put(node.orelse), "branch removed"
            yield _put(node.body), "other branch removed"
        case ast.Subscript(slice=ast.Slice(lower=low, upper=high)) if low or high:
            yield _put(ast.Subscript(node.value, ast.Slice(), ast.Load())), "slice dropped"
        case ast.GeneratorExp() | ast.ListComp() | ast.SetComp() | ast.DictComp():
            yield from _all_of(node)
        case ast.stmt():
            yield from _other_statement(node, function)


def _other_operator(node: ast.expr) -> Iterator[tuple[str, str]]:
    match node:
        case ast.Compare():
            for place, operator in enumerate(node.ops):
                for other in TURNED[type(operator)]:
                    turned = copy.deepcopy(node)
                    turned.ops[place] = other()
                    yield _put(turned), "comparison"
        case ast.BoolOp():
            other_way = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            yield _put(ast.BoolOp(other_way, node.values)), "and, or"
        case ast.UnaryOp(op=ast.Not() | ast.USub()):
            yield _put(node.operand), "not dropped" if isinstance(node.op, ast.Not) else "minus dropped"
        case ast.BinOp() if type(node.op) in SUMS and not _is_text(node.left) and not _is_text(node.right):
            yield _put(ast.BinOp(node.left, SUMS[type(node.op)](), node.right)), "sum"


def _all_of(node: ast.GeneratorExp | ast.ListComp | ast.SetComp | ast.DictComp) -> Iterator[tuple[str, str]]:
    for place, part in enumerate(node.generators):
        if part.ifs:
            whole = copy.deepcopy(node)
            whole.generators[place].ifs = []
            yield _put(whole), "filter dropped"


def _put(node: ast.expr) -> str:
    return f"({ast.unparse(ast.fix_missing_locations(node))})"


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, (ast.JoinedStr, ast.List, ast.Tuple)) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _other_constant(value: object) -> Iterator[tuple[str, str]]:
    match value:
        case bool():
            yield str(not value), "constant"
        case int():
            yield str(value + 1), "constant"
        case float():
            yield repr(value * 2 or 1.0), "constant"
        case str() if value and " " not in value:
            yield repr(value + "x"), "constant"


def _other_call(node: ast.Call) -> Iterator[tuple[str, str]]:
    if isinstance(node.func, ast.Name) and node.func.id in OPPOSITES:
        yield _put(ast.Call(ast.Name(OPPOSITES[node.func.id]), node.args, node.keywords)), "opposite"
    first, *others = [*node.args, None, None]
    second = others[0]
    if first and second and not isinstance(first, ast.Starred) and not isinstance(second, ast.Starred):
        yield _put(ast.Call(node.func, [second, first, *node.args[2:]], node.keywords)), "arguments swapped"


def _other_statement(node: ast.stmt, function: ast.FunctionDef | None) -> Iterator[tuple[str, str]]:
    match node:
        case ast.Return(value=ast.expr() as value):
            if not (isinstance(value, ast.Constant) and value.value is None):
                sort = ast.unparse(function.returns).partition("[")[0] if function and function.returns else ""
                yield f"return {EMPTY.get(sort, 'None').format(ast.unparse(value))}", "return"
        case ast.If() | ast.While() if not isinstance(node.test, ast.Constant):
            yield "False", "branch removed"
            if isinstance(node, ast.If):
                yield "True", "branch always taken"
        case ast.Expr(value=ast.Call()) | ast.AugAssign() | ast.Break() | ast.Continue() | ast.Raise():
            yield "pass", "statement removed"
        case ast.Assign(targets=[ast.Attribute() | ast.Subscript()]):
            yield "pass", "statement removed"
