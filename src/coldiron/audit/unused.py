"""Declared words that nothing uses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coldiron.book.book import Book
from coldiron.book.cautions import BeforeSetting
from coldiron.book.checks import Check
from coldiron.book.conclusions import ConcludesFact
from coldiron.book.conditions import FactHolds, SettingIs
from coldiron.book.duties import Duty
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def unused(book: Book) -> tuple[Problem, ...]:
    """Report settings, kit, areas, points, topics, facts, kinds, sections and events that no other entry speaks of."""
    used = _used(book)
    declared: dict[str, Mapping[str, Any]] = {
        "setting": book.settings,
        "kit": book.kits,
        "area": book.areas,
        "point": book.points,
        "topic": book.topics,
        "fact": book.facts,
        "kind": book.kinds,
        "section": book.sections,
        "event": book.events,
    }
    return tuple(
        mistake("unused", entry.place, what=what, word=name)
        for what, entries in declared.items()
        for name, entry in entries.items()
        if name not in used[what]
    )


def _used(book: Book) -> dict[str, set[str]]:
    """Collect what entries speak of, by sort."""
    checks, rules = book.checks.values(), book.rules.values()
    done = _done(book)
    parts = [part for section in book.sections.values() for part in section.parts]
    return {
        "setting": set(_settings(book)),
        "kit": {name for one in done for name in one.kit},
        "area": {one.area for one in done}
        | {point.area for point in book.points.values()}
        | {area.beside for area in book.areas.values()},
        "point": {name for check in checks for name in (check.reads.a, check.reads.b)}
        | {point for part in parts for point in part.joins.values()},
        "topic": {question.topic for question in book.questions.values()}
        | {code.topic for code in book.codes.values()},
        "fact": {one.test.fact for rule in rules for one in rule.when if isinstance(one.test, FactHolds)}
        | {then.fact for rule in rules for then in rule.then if isinstance(then, ConcludesFact)},
        "kind": {part.kind for part in parts},
        "section": {section for circuit in book.circuits.values() for section in circuit.sections}
        | {name for option in book.options.values() for row in option.rows for name in (*row.sections, *row.instead)},
        "event": {name for route in book.routes.values() for name in route.events},
    }


def _done(book: Book) -> list[Check | Duty]:
    """Everything that is done at the machine."""
    return [*book.checks.values(), *book.duties.values()]


def _settings(book: Book) -> Iterator[str]:
    for one in _done(book):
        yield from one.state
    for section in book.sections.values():
        for part in section.parts:
            yield from (closed.setting for closed in part.closed)
    for caution in book.cautions.values():
        yield from (due.setting for due in caution.due if isinstance(due, BeforeSetting))
    for rule in book.rules.values():
        yield from (one.test.setting for one in rule.when if isinstance(one.test, SettingIs))
