"""What a step does that can hurt, seen from its lines, and the caution or the state of the machine that it then lacks.

The book's actions are the table; here every check, repair, function and change of a setting is held against it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from coldiron.audit.sites import base, points_of
from coldiron.consult.dues import SEVERITY, Dues, dues_of
from coldiron.mistakes import mistake
from coldiron.model import Action, Book, Check, Fault, Function, Need, Sign
from coldiron.problem import Problem
from coldiron.record import dataclass, field
from coldiron.source import Place

MOST_BETWEEN = 4
"""So many other words may stand between two of a phrase where it has two dots, or behind a word that denies it."""

_DENIED = re.compile(
    rf"\b(?:never|cannot|not|no|nor|nobody|without)(?:[^\w.]+\w+){{0,{MOST_BETWEEN}}}[^\w.]*$", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Step:
    """One thing a person does: what it is called, what its lines say, and the cautions that come before it."""

    what: str
    id: str
    place: Place
    due: frozenset[str]
    text: str = ""
    state: Mapping[str, str] = field(default_factory=dict)
    reads: str = ""
    area: str = ""
    kit: tuple[str, ...] = ()
    points: frozenset[str] = frozenset()
    renews: str = ""
    fault: Fault | None = None


def actions(book: Book) -> tuple[Problem, ...]:
    """Report every step that does what an action of the book describes, and lacks what such a step needs."""
    found: dict[tuple[str, str, str], Problem] = {}
    for step in steps(book) if book.actions else ():
        for action in book.actions.values():
            if by := implied(step, action):
                for problem in _lacking(book, step, action, by):
                    found.setdefault((step.id, action.id, problem.sentence), problem)
    return tuple(found.values())


def steps(book: Book) -> Iterator[Step]:
    """Yield every step of a book with the cautions that come before it whatever was answered."""
    dues = dues_of(book)
    for check in book.checks.values():
        yield _of_check(book, dues, check)
    for fault in book.faults.values():
        yield _of_repair(dues, fault)
    for function in book.functions.values():
        yield _of_function(dues, function)
    for setting in book.settings.values():
        for value in setting.values:
            pair = setting.id, value
            due = frozenset(dues.ids[rank] for rank in dues.settings.get(pair, ()))
            yield Step("setting", " ".join(pair), setting.place, due, state={setting.id: value})


def _of_check(book: Book, dues: Dues, check: Check) -> Step:
    due = frozenset((*(dues.ids[rank] for rank in dues.of_check(check, check.state, {})), *check.warns))
    points = frozenset(point for name in (check.reads.a, check.reads.b) for point in points_of(book, name))
    text = f"{check.ask} {check.how}"
    reads = check.reads.quantity
    return Step("check", base(check.id), check.place, due, text, check.state, reads, check.area, check.kit, points)


def _of_repair(dues: Dues, fault: Fault) -> Step:
    what = fault.what
    due = frozenset((*(dues.ids[rank] for rank in dues.of_repair(fault.id, fault.kind)), *what.cautions))
    renews = fault.kind if what.renews else ""
    return Step("repair", fault.id, what.place, due, what.repair, renews=renews, fault=fault)


def _of_function(dues: Dues, function: Function) -> Step:
    ranks = {*dues.areas.get(function.area, ())}
    for pair in function.state.items():
        ranks.update(dues.settings.get(pair, ()))
    due = frozenset((*(dues.ids[rank] for rank in ranks), *function.warns))
    text = f"{function.ask} {function.how}"
    reads = function.quantity
    return Step("function", function.id, function.place, due, text, function.state, reads, function.area, function.kit)


def implied(step: Step, action: Action) -> str:
    """Return by what a step is seen to do what an action describes, in words; nothing if it does not."""
    for signs in action.whens:
        if all(_holds(step, sign) for sign in signs):
            return ", ".join(" ".join(filter(None, (s.what, s.name, s.value, str(s.faults or "")))) for s in signs)
    return next((f"the words '{phrase}'" for phrase in action.says if says(step.text, phrase)), "")


def _holds(step: Step, sign: Sign) -> bool:
    if sign.what == "setting":
        return step.state.get(sign.name) == sign.value
    if sign.what == "repair":
        fault, ref = step.fault, sign.faults
        if fault is None or ref is None:
            return False
        return (ref.part == fault.part or ref.kind == fault.kind) and ref.fault in ("", fault.what.id)
    if sign.what == "reads":
        return step.reads == sign.name
    if sign.what == "renews":
        return step.renews == sign.name
    if sign.what == "area":
        return step.area == sign.name
    return sign.name in (step.kit if sign.what == "kit" else step.points)


def says(text: str, phrase: str) -> bool:
    """Whether a text says a phrase and does not deny it in the same sentence."""
    if phrase.partition(" ")[0] not in text.lower():
        return False
    return any(not _DENIED.search(text[: found.start()]) for found in _pattern(phrase).finditer(text))


@lru_cache(maxsize=1_000)
def _pattern(phrase: str) -> re.Pattern[str]:
    """A phrase as a pattern: whole words of one sentence, any case, two dots for some words between."""
    pieces = [re.escape(piece).replace(r"\ ", r"[^\w.]+") for piece in re.split(r"\s*\.\.\s*", phrase)]
    between = rf"(?:[^\w.]+\w+){{0,{MOST_BETWEEN}}}[^\w.]+"
    return re.compile(rf"\b{between.join(pieces)}\b", re.IGNORECASE)


def _lacking(book: Book, step: Step, action: Action, by: str) -> Iterator[Problem]:
    for need in action.needs:
        if not any(name in step.due and _severe(book, name, need) for name in need.cautions):
            wanted = " or ".join(need.cautions)
            yield mistake(
                "action-uncautioned",
                step.place,
                what=step.what,
                word=step.id,
                does=action.name,
                by=by,
                signal=need.word,
                wanted=wanted,
            )
    for stands in action.stands:
        if not stands.items() & step.state.items():
            wanted = " or ".join(" ".join(pair) for pair in stands.items())
            yield mistake(
                "action-unsafe-state", step.place, what=step.what, word=step.id, does=action.name, by=by, wanted=wanted
            )


def _severe(book: Book, name: str, need: Need) -> bool:
    """Whether a caution is as severe as an action needs: a NOTICE does not stand in for a DANGER."""
    return SEVERITY.index(book.cautions[name].word) <= SEVERITY.index(need.word)
