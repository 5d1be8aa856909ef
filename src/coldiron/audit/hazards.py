"""Steps that can hurt and have no caution: turning the key to START, hands at the battery, showing a refusal."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import base
from coldiron.mistakes import mistake
from coldiron.model import Book, Check, Due, Function
from coldiron.problem import Problem

KEY, START = "key", "start"
POST = "battery_positive"


def hazards(book: Book) -> tuple[Problem, ...]:
    """Report every check that turns the key to START, or is made at the battery, without a caution due before it."""
    found: dict[tuple[str, str], Problem] = {}
    for check in book.checks.values():
        for problem in _of_check(book, check):
            found.setdefault((base(check.id), problem.kind), problem)
    return (*found.values(), *(problem for function in book.functions.values() for problem in _shown(book, function)))


def _shown(book: Book, function: Function) -> Iterator[Problem]:
    """Look at a function that is shown with the key at START; one that may not crank then needs a caution of its own.

    Should the interlock that is shown be dead, the engine cranks after all, with the machine free to move.
    """
    if function.state.get(KEY) != START or function.warns:
        return
    normal = {name: setting.normal for name, setting in book.settings.items()}
    if any(name != KEY and value != normal.get(name) for name, value in function.state.items()):
        yield mistake("refusal-uncautioned", function.place, word=function.id)
    elif not any(due.what == "setting" and (due.name, due.value) == (KEY, START) for due in _dues(book)):
        yield mistake("function-uncautioned", function.place, word=function.id)


def _dues(book: Book) -> Iterator[Due]:
    for caution in book.cautions.values():
        yield from caution.due


def _of_check(book: Book, check: Check) -> Iterator[Problem]:
    if check.state.get(KEY) == START and not (check.warns or _due(book, check, setting=True, area=False)):
        yield mistake("start-uncautioned", check.place, word=base(check.id))
    if _at_battery(book, check) and not (check.warns or _due(book, check, setting=False, area=True)):
        yield mistake("battery-uncautioned", check.place, word=base(check.id))


def _at_battery(book: Book, check: Check) -> bool:
    """Whether hands or probes go to the battery: its area, or a point in it."""
    post = book.points.get(POST)
    if post is None:
        return False
    probed = {point for name in (check.reads.a, check.reads.b) for point in _points(book, name)}
    return post.area in {check.area} | {book.points[name].area for name in probed if name in book.points}


def _points(book: Book, name: str) -> Iterator[str]:
    """Yield the point that a probe touches; for the end of a part all points that it has in any piece."""
    part, dot, end = name.partition(".")
    if not dot:
        yield name
        return
    for piece in book.pieces.values():
        yield from (one.joins.get(end, "") for one in piece.parts if one.id == part)


def _due(book: Book, check: Check, *, setting: bool, area: bool) -> bool:
    """Whether some caution is due before this check, before START, or before its area."""
    for caution in book.cautions.values():
        for due in caution.due:
            if due.what == "check" and due.name in (check.id, base(check.id)):
                return True
            if setting and (due.what, due.name, due.value) == ("setting", KEY, START):
                return True
            if area and due.what == "area" and due.name == book.points[POST].area:
                return True
    return False
