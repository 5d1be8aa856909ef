"""Entries that no circuit can use: checks whose points are nowhere, rules and chains whose parts never meet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from coldiron.audit.sites import Site, base, sites
from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.conclusions import (
    Advises,
    AllowsCheck,
    AsksSooner,
    AvoidsValue,
    ConcludesFact,
    Conclusion,
    CountsInstead,
    ForbidsCheck,
    LeavesSetting,
    RequiresCheck,
    ShiftsOdds,
    WarnsOf,
)
from coldiron.book.conditions import (
    AnswerIs,
    CheckMade,
    CodeGiven,
    ComplaintIs,
    Condition,
    ControllerTalks,
    FactHolds,
    FindingIs,
    PartIsThere,
    ReadingAgainst,
    ReadingsAgainst,
    RepairMade,
    SettingIs,
    checks_of,
)
from coldiron.book.faults import FaultRef
from coldiron.book.problem import Problem
from coldiron.book.rules import Rule
from coldiron.mistakes import mistake


def reach(book: Book) -> tuple[Problem, ...]:
    """Report what is out of reach on every circuit."""
    where = sites(book)
    return (*_checks(book, where), *_rules(book, where), *_complaints(book, where), *_duties(book, where))


def _checks(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    usable = {base(check.id) for check in book.checks.values() if any(not site.lacks(check) for site in where)}
    told: set[str] = set()
    for check in book.checks.values():
        name = base(check.id)
        if name not in usable and name not in told and where:
            told.add(name)
            yield mistake("check-nowhere", check.place, word=name, lacking=where[0].lacks(check))


def _complaints(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    for complaint in book.complaints.values():
        checks = [book.checks[check] for check, _ in complaint.sees if check in book.checks]
        # A line that a circuit cannot show is left out there, so each needs a circuit, but not all of them the same.
        if where and any(all(site.lacks(check) for site in where) for check in checks):
            yield mistake("complaint-nowhere", complaint.place, word=complaint.id)


def _duties(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    for duty in book.duties.values():
        has = duty.has
        if where and has and not any(site.has_faults(one) for site in where for one in has):
            yield mistake("duty-nowhere", duty.place, word=duty.id, lacking=" or ".join(map(str, has)))


def _rules(book: Book, where: tuple[Site, ...]) -> Iterator[Problem]:
    for rule in book.rules.values():
        if where and not any(_can_matter(book, site, rule) for site in where):
            yield mistake("rule-nowhere", rule.place, word=rule.id)


def _can_matter(book: Book, site: Site, rule: Rule) -> bool:
    """Whether on this circuit all conditions may hold and at least one conclusion has something to act on."""
    loop = rule.loop
    letters = [part.id for part in site.parts.values() if part.kind == loop.kind] if loop else [""]
    letter = loop.name if loop else ""
    return any(
        all(condition.negated or _may_hold(book, site, condition, letter, part) for condition in rule.when)
        and any(_may_act(book, site, then, letter, part) for then in rule.then)
        for part in letters
    )


def _named(name: str, letter: str, part: str) -> str:
    """Put a part in the place of a loop's letter: `W`, `W.open`, `look_at.W`."""
    return ".".join(part if letter and word == letter else word for word in name.split("."))


def _has_check(book: Book, site: Site, name: str) -> bool:
    check: Check | None = book.checks.get(name)
    return check is not None and not site.lacks(check)


def _has_faults(site: Site, faults: FaultRef, letter: str, part: str) -> bool:
    return _named(faults.part, letter, part) in site.parts if faults.part else site.has_faults(faults)


def _may_hold(book: Book, site: Site, condition: Condition, letter: str, part: str) -> bool:
    test = condition.test
    match test:
        case FindingIs() | CheckMade() | ReadingAgainst() | ReadingsAgainst():
            return all(_has_check(book, site, _named(name, letter, part)) for name in checks_of(test))
        case PartIsThere():
            return _named(test.part, letter, part) in site.parts
        case RepairMade():
            return _has_faults(site, test.faults, letter, part)
        case ComplaintIs() | AnswerIs() | SettingIs() | FactHolds() | CodeGiven() | ControllerTalks():
            return True
    assert_never(test)


def _may_act(book: Book, site: Site, then: Conclusion, letter: str, part: str) -> bool:
    match then:
        case AllowsCheck() | ForbidsCheck() | AsksSooner():
            return _has_check(book, site, _named(then.check, letter, part))
        case RequiresCheck():
            made = _has_check(book, site, _named(then.check, letter, part))
            return made and _has_faults(site, then.faults, letter, part)
        case CountsInstead():
            made = _has_check(book, site, _named(then.check, letter, part))
            return made and any(_has_faults(site, faults, letter, part) for faults in then.about)
        case ShiftsOdds():
            return _has_faults(site, then.faults, letter, part)
        case ConcludesFact() | LeavesSetting() | AvoidsValue() | WarnsOf() | Advises():
            return True
    assert_never(then)
