"""Steps that can hurt and have no caution: turning the key to START, and laying hands on the battery."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import base
from coldiron.mistakes import mistake
from coldiron.model import Book, Check
from coldiron.problem import Problem

KEY, START = "key", "start"
POST = "battery_positive"


def hazards(book: Book) -> tuple[Problem, ...]:
    """Report every check that turns the key to START, or is made at the battery, without a caution due before it."""
    found: dict[tuple[str, str], Problem] = {}
    for check in book.checks.values():
        for problem in _of_check(book, check):
            found.setdefault((base(check.id), problem.kind), problem)
    return tuple(found.values())


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
    touched = {check.area} | {book.points[name].area for name in (check.reads.a, check.reads.b) if name in book.points}
    return post.area in touched


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
