"""What can hurt in a step of a drill: the cautions of the book due before it, and what its actions need to stand."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import assert_never

from coldiron.book.book import Book
from coldiron.book.cautions import (
    Action,
    AsksForSetting,
    Caution,
    IsAnswer,
    IsCheck,
    IsDuty,
    IsInArea,
    IsRepair,
    Mark,
    ReadsQuantity,
    Renews,
    TouchesPoint,
    UsesKit,
)
from coldiron.book.checks import Check
from coldiron.drill.step import Probe
from coldiron.job.cautions import TYPED, before_check, before_repair, before_setting


def due_before(book: Book, probe: Probe, settings: Mapping[str, str]) -> tuple[str, ...]:
    """The cautions due before a step on a machine that stands at some settings, those that are to be seen to alone."""
    found: list[str] = []
    settings = {name: one.normal for name, one in book.settings.items()} | dict(settings)
    for area in probe.areas or ("",):
        if probe.check:
            found += before_check(book, book.checks[probe.check], settings)
        else:
            found += before_check(book, _as_check(probe, area), settings)
    found += [need.cautions[0] for action in _actions(book, probe) for need in action.needs]
    return _typed(book, found)


def due_before_setting(book: Book, setting: str, value: str) -> tuple[str, ...]:
    """The cautions due before a setting takes a value."""
    return _typed(book, before_setting(book, setting, value))


def due_before_fix(book: Book, fault: str) -> tuple[str, ...]:
    """The cautions due before a fault is fixed."""
    return _typed(book, before_repair(book, fault))


def misses(book: Book, probe: Probe, settings: Mapping[str, str]) -> Action | None:
    """The action of a step for which the machine does not stand as it must; None where it stands right."""
    stands = {name: settings.get(name, setting.normal) for name, setting in book.settings.items()} | dict(probe.state)
    for action in _actions(book, probe):
        for wanted in action.stands:
            if not any(stands.get(name) == value for name, value in wanted.items()):
                return action
    return None


def worst(book: Book, due: Collection[str]) -> Caution | None:
    """The first DANGER among some cautions."""
    return next((book.cautions[name] for name in due if book.cautions[name].word == "DANGER"), None)


def _typed(book: Book, found: Collection[str]) -> tuple[str, ...]:
    known = [name for name in dict.fromkeys(found) if name in book.cautions and book.cautions[name].word in TYPED]
    return tuple(sorted(known, key=lambda name: TYPED.index(book.cautions[name].word)))


def _as_check(probe: Probe, area: str) -> Check:
    return Check(
        "", "", "", probe.reads, probe.state, 0.0, area, (), (), (), good="", wrong=0.0, spread=0.0, step=0.0, source=""
    )


def _actions(book: Book, probe: Probe) -> Iterator[Action]:
    """What a reading of one's own does that can hurt; those of the book's checks are in their cautions already."""
    if probe.check:
        return
    for action in book.actions.values():
        if any(all(_holds(mark, probe) for mark in marks) for marks in action.whens):
            yield action


def _holds(mark: Mark, probe: Probe) -> bool:
    match mark:
        case AsksForSetting(setting, value):
            return probe.state.get(setting) == value
        case ReadsQuantity(quantity):
            return probe.reads.quantity == quantity
        case IsInArea(area):
            return area in probe.areas
        case TouchesPoint(point):
            return point in (probe.reads.a, probe.reads.b)
        case UsesKit() | Renews() | IsRepair() | IsCheck() | IsDuty() | IsAnswer():
            return False
        case _:
            assert_never(mark)
