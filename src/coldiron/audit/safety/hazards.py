"""Steps that can hurt and have no caution as severe as they need: START, hands at the battery, showing a refusal.

These hold for every book, with or without actions of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldiron.audit.safety.before import DANGER, SEVERITY, TYPED, Before, before
from coldiron.audit.sites import base, points_of
from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.duties import Duty
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake

KEY, START = "key", "start"
LEAD, OFF = "battery_lead", "off"
POST, MINUS = "battery_positive", "battery_negative"


def hazards(book: Book) -> tuple[Problem, ...]:
    """Report every step that turns the key to START, or is made at the battery, without its caution before it."""
    dues = before(book)
    found: dict[tuple[str, str], Problem] = {}
    for check in book.checks.values():
        for problem in _of_check(book, dues, check):
            found.setdefault((base(check.id), problem.kind), problem)
    shown = (problem for duty in book.duties.values() for problem in _shown(book, dues, duty))
    return (*found.values(), *shown, *_lead(book, dues), *_never_asked(book))


def _shown(book: Book, dues: Before, duty: Duty) -> Iterator[Problem]:
    """Look at a duty that is shown with the key at START; one that may not crank then needs a caution of its own.

    Should the interlock that is shown be dead, the engine cranks after all, with the machine free to move.
    """
    if duty.state.get(KEY) != START or _any(book, duty.warns, DANGER):
        return
    normal = {name: setting.normal for name, setting in book.settings.items()}
    if any(name != KEY and value != normal.get(name) for name, value in duty.state.items()):
        yield mistake("refusal-uncautioned", duty.place, word=duty.id)
    elif not _any(book, dues.settings.get((KEY, START), ()), DANGER):
        yield mistake("duty-uncautioned", duty.place, word=duty.id)


def _of_check(book: Book, dues: Before, check: Check) -> Iterator[Problem]:
    at_start = dues.of_itself(check) | dues.settings.get((KEY, START), set())  # what is due in its area says no START
    if check.state.get(KEY) == START and not _any(book, at_start, DANGER):
        yield mistake("start-uncautioned", check.place, word=base(check.id))
    words = _at_battery(book, check)
    if not _any(book, dues.of_check(check), words):
        yield mistake("battery-uncautioned", check.place, word=base(check.id), wanted=" or ".join(words))


def _lead(book: Book, dues: Before) -> Iterator[Problem]:
    """Look at the lead of the battery, which is lifted in an order: the grounded one first."""
    setting = book.settings.get(LEAD)
    if setting and OFF in setting.values and not _any(book, dues.settings.get((LEAD, OFF), ()), TYPED):
        yield mistake("lead-uncautioned", setting.place, word=LEAD)


def _never_asked(book: Book) -> Iterator[Problem]:
    """Look for a question of safety that warns of something, where the book has anybody turn the key to START."""
    if any(asked.stage == "safety" and any(one.warns for one in asked.answers) for asked in book.questions.values()):
        return
    steps: list[Check | Duty] = [*book.checks.values(), *book.duties.values()]
    first = next((step for step in steps if step.state.get(KEY) == START), None)
    if first:
        yield mistake("no-safety-question", first.place, word=base(first.id))


def _at_battery(book: Book, check: Check) -> tuple[str, ...]:
    """The signal words of which a check needs one because hands or probes go to the battery; none if they do not.

    Where the black clip alone sits on the minus post and the work is elsewhere, nothing can spark at the other post.
    """
    post = book.points.get(POST)
    if post is None:
        return ()
    probed = {point for name in (check.reads.a, check.reads.b) for point in points_of(book, name)}
    there = {name for name in probed if name in book.points and book.points[name].area == post.area}
    if post.area == check.area or there - {MINUS}:
        return TYPED
    return SEVERITY[:3] if there else ()


def _any(book: Book, names: Iterable[str], words: tuple[str, ...]) -> bool:
    """Whether one of some cautions has one of some signal words, or none is asked for."""
    return not words or any(name in book.cautions and book.cautions[name].word in words for name in names)
