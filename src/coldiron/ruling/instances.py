"""The book's rules written out for one machine: one instance for every part a loop ranges over.

A line that can never matter on the machine is left out, and it is said which: a rule that waits for a check, part or
fault the machine does not have never fires, and what a rule concludes about such a thing has no meaning there. Leaving
it out changes no result.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol, assert_never

from coldiron import engine
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
    Test,
    checks_of,
)
from coldiron.book.faults import Fault, FaultRef
from coldiron.book.joining import routes_of
from coldiron.book.machines import Part
from coldiron.book.rules import Loop, Rule
from coldiron.book.source import Place
from coldiron.record import dataclass, replace


class GroundMachine(Protocol):
    """What the rules need to know of a machine. Before and after follow the current, from source to return."""

    @property
    def book(self) -> Book:
        """The book it comes from."""
        ...

    @property
    def parts(self) -> Mapping[str, Part]:
        """Its parts by id."""
        ...

    @property
    def faults(self) -> Mapping[str, Fault]:
        """What can be wrong with it, by `part.fault`."""
        ...

    @property
    def checks(self) -> Sequence[str]:
        """The checks that can be made on it."""
        ...

    @property
    def upstream(self) -> Mapping[str, Sequence[str]]:
        """For each part, the parts before it."""
        ...

    @property
    def downstream(self) -> Mapping[str, Sequence[str]]:
        """For each part, the parts after it."""
        ...


@dataclass(frozen=True, slots=True)
class Instance:
    """One rule for one part (empty without a loop): its conclusions with all names filled in, ready for the engine."""

    id: str
    rule: Rule
    part: str
    then: tuple[Conclusion, ...]
    ready: engine.FactRule


@dataclass(frozen=True, slots=True)
class Dropped:
    """A rule, or one line of it, that does not apply to the machine: its place and why, in words."""

    rule: str
    part: str
    place: Place
    because: str


class Naming:
    """Which faults of a machine a reference names."""

    def __init__(self, machine: GroundMachine) -> None:
        self._by_part: dict[str, list[Fault]] = {}
        self._by_kind: dict[str, list[Fault]] = {}
        for name in sorted(machine.faults):
            fault = machine.faults[name]
            self._by_part.setdefault(fault.part, []).append(fault)
            self._by_kind.setdefault(fault.kind, []).append(fault)
        book = machine.book
        for route in sorted(routes_of(book.routes, machine.parts)):
            self._by_part[route] = [book.faults[f"{route}.{name}"] for name in sorted(book.routes[route].events)]

    def named(self, ref: FaultRef) -> tuple[str, ...]:
        """Ids of the faults of the machine that a reference names, sorted."""
        faults = self._by_kind.get(ref.kind, []) if ref.kind else self._by_part.get(ref.part, [])
        return tuple(fault.id for fault in faults if ref.matches(fault.part, fault.kind, fault.what.id))


class Writer:
    """Writes rules out for a machine.

    On the way grow `dropped`, what does not apply, and `helpers`, engine rules that join several repaired faults.
    """

    def __init__(self, machine: GroundMachine) -> None:
        self.machine = machine
        self.naming = Naming(machine)
        self.checks = frozenset(machine.checks)
        self.dropped: list[Dropped] = []
        self.helpers: dict[str, engine.FactRule] = {}

    def instances(self, rule: Rule) -> list[Instance]:
        """All instances of a rule that can fire and bring something about."""
        if rule.loop is None:
            return self._instance(rule, "")
        parts = self._range(rule.loop)
        if not parts:
            where = f" {rule.loop.relation} {rule.loop.part}" if rule.loop.relation else ""
            self.dropped.append(Dropped(rule.id, "", rule.place, f"the machine has no {rule.loop.kind}{where}"))
        return [instance for part in parts for instance in self._instance(rule, part)]

    def _range(self, loop: Loop) -> list[str]:
        parts: Iterable[str] = self.machine.parts
        if loop.relation:
            order = self.machine.upstream if loop.relation == "before" else self.machine.downstream
            parts = order.get(loop.part, ())
        return sorted(part for part in parts if self.machine.parts[part].kind == loop.kind)

    def _instance(self, rule: Rule, part: str) -> list[Instance]:
        variable = rule.loop.name if rule.loop else ""
        when = [_filled(condition, variable, part) for condition in rule.when]
        for condition in when:
            if never := self._never(condition):
                self.dropped.append(Dropped(rule.id, part, condition.place, never))
                return []
        title = self.machine.parts[part].name if part else ""
        then = []
        for conclusion in self._each(rule.then):
            filled = _filled_conclusion(conclusion, variable, part, title)
            if idle := self._idle(filled):
                self.dropped.append(Dropped(rule.id, part, filled.place, idle))
            else:
                then.append(self._without_others(filled))
        if not then:
            return []
        name = f"{rule.id}@{part}" if part else rule.id
        conditions = tuple(written for condition in when for written in self._written(condition))
        facts = tuple(fact for conclusion in then for fact in self.concluded(name, conclusion))
        return [Instance(name, rule, part, tuple(then), engine.FactRule(name, conditions, facts))]

    def _without_others(self, conclusion: Conclusion) -> Conclusion:
        """The conclusion without the checks that cannot be made on this machine."""
        if not isinstance(conclusion, CountsInstead):
            return conclusion
        return replace(conclusion, replaces=tuple(check for check in conclusion.replaces if check in self.checks))

    def _each(self, then: Iterable[Conclusion]) -> Iterable[Conclusion]:
        """The conclusions; a setting that is left as it is, or avoided, closes every check that would change it."""
        book = self.machine.book
        for conclusion in then:
            if not isinstance(conclusion, LeavesSetting | AvoidsValue):
                yield conclusion
                continue
            keeps = _leaves if isinstance(conclusion, LeavesSetting) else _avoids
            for name in self.machine.checks:
                if not keeps(book, book.checks[name], conclusion.setting, conclusion.value):
                    yield ForbidsCheck(name, conclusion.place)

    def _never(self, condition: Condition) -> str:
        """Why a condition cannot hold on this machine, or nothing."""
        test, negated = condition.test, condition.negated
        match test:
            case PartIsThere():
                if (test.part in self.machine.parts) is negated:
                    return f"the machine has {'a' if negated else 'no'} {test.part}"
            case FindingIs() | CheckMade() if negated:
                pass
            case FindingIs() | CheckMade() | ReadingAgainst() | ReadingsAgainst():
                return next((_no_check(check) for check in checks_of(test) if check not in self.checks), "")
            case RepairMade():
                if not negated and not self.naming.named(test.faults):
                    return _no_fault(test.faults)
            case ComplaintIs() | AnswerIs() | SettingIs() | FactHolds() | CodeGiven() | ControllerTalks():
                pass
            case _:
                assert_never(test)
        return ""

    def _idle(self, conclusion: Conclusion) -> str:
        """Why a conclusion means nothing on this machine, or nothing."""
        check, faults = _speaks_of(conclusion)
        if check and check not in self.checks:
            return _no_check(check)
        return _no_fault(faults[0]) if faults and not any(map(self.naming.named, faults)) else ""

    def _written(self, condition: Condition) -> list[engine.Condition]:
        """A condition for the engine. Has a fault been repaired is asked of each fault that is named."""
        test = condition.test
        match test:
            case ReadingAgainst():
                return [engine.Compare(test.check, test.way, test.figure, 0.0, condition.negated)]
            case ReadingsAgainst():
                return [engine.Compare(test.check, test.way, test.other, test.margin, condition.negated)]
            case RepairMade():
                faults = self.naming.named(test.faults)
                if condition.negated:
                    return [engine.Lacks(("repaired", fault)) for fault in faults]
                return [engine.Has(self._any_repaired(test.faults, faults))]
        fact = told(test)
        return [engine.Lacks(fact) if condition.negated else engine.Has(fact)]

    def _any_repaired(self, ref: FaultRef, faults: Sequence[str]) -> engine.Fact:
        if len(faults) == 1:
            return ("repaired", faults[0])
        either = ("repaired", str(ref))
        for fault in faults:
            name = f"repaired {fault} is {ref}"
            self.helpers[name] = engine.FactRule(name, (engine.Has(("repaired", fault)),), (either,))
        return either

    def concluded(self, instance: str, conclusion: Conclusion) -> tuple[engine.Fact, ...]:
        """What a conclusion is among the facts of the engine."""
        match conclusion:
            case ConcludesFact():
                return (("fact", conclusion.fact),)
            case CountsInstead():
                return (("finding", conclusion.check, conclusion.finding),)
            case Advises():
                return (("advise", instance),)
            case ShiftsOdds():
                return tuple(("shift", fault) for fault in self.naming.named(conclusion.faults))
            case AllowsCheck() | ForbidsCheck() | AsksSooner() | RequiresCheck():
                return ((conclusion.form, conclusion.check),)
            case LeavesSetting() | AvoidsValue():
                return ((conclusion.form, conclusion.setting),)
            case WarnsOf():
                return ((conclusion.form, conclusion.caution),)
        assert_never(conclusion)


Plain = (
    ComplaintIs | AnswerIs | FindingIs | CheckMade | PartIsThere | SettingIs | FactHolds | CodeGiven | ControllerTalks
)
"""Tests that look for one fact."""


def told(test: Plain) -> engine.Fact:
    """The fact a plain test looks for."""
    match test:
        case FindingIs():
            return (test.form, test.check, test.finding)
        case AnswerIs():
            return (test.form, test.question, test.answer)
        case SettingIs():
            return (test.form, test.setting, test.value)
        case ComplaintIs():
            return (test.form, test.complaint)
        case CheckMade():
            return (test.form, test.check)
        case PartIsThere():
            return (test.form, test.part)
        case FactHolds():
            return (test.form, test.fact)
        case CodeGiven():
            return (test.form, test.code)
        case ControllerTalks():
            return (test.form, "")
    assert_never(test)


def _speaks_of(conclusion: Conclusion) -> tuple[str, tuple[FaultRef, ...]]:
    """The check and the faults without which a conclusion means nothing."""
    match conclusion:
        case AllowsCheck() | ForbidsCheck() | AsksSooner():
            return conclusion.check, ()
        case RequiresCheck():
            return conclusion.check, (conclusion.faults,)
        case CountsInstead():
            return conclusion.check, conclusion.about
        case ShiftsOdds():
            return "", (conclusion.faults,)
        case ConcludesFact() | LeavesSetting() | AvoidsValue() | WarnsOf() | Advises():
            return "", ()
    assert_never(conclusion)


def _no_check(check: str) -> str:
    return f"the check {check} cannot be made on the machine"


def _no_fault(ref: FaultRef) -> str:
    return f"the machine has nothing that {ref} names"


def _filled(condition: Condition, variable: str, part: str) -> Condition:
    """A condition with the part of the loop in the place of its letter."""
    return replace(condition, test=_filled_test(condition.test, variable, part)) if variable else condition


def _filled_test(test: Test, variable: str, part: str) -> Test:
    match test:
        case FindingIs() | CheckMade() | ReadingAgainst():
            return replace(test, check=_fill(test.check, variable, part))
        case ReadingsAgainst():
            return replace(test, check=_fill(test.check, variable, part), other=_fill(test.other, variable, part))
        case PartIsThere():
            return replace(test, part=_fill(test.part, variable, part))
        case RepairMade():
            return replace(test, faults=_fill_ref(test.faults, variable, part))
        case ComplaintIs() | AnswerIs() | SettingIs() | FactHolds() | CodeGiven() | ControllerTalks():
            return test
    assert_never(test)


def _leaves(book: Book, check: Check, setting: str, value: str) -> bool:
    """Whether a check wants a setting so, or is a look at a machine at rest, which moves nothing."""
    normal = book.settings[setting].normal
    if setting in check.state or check.reads.quantity != "eye":
        return check.state.get(setting, normal) == value
    return normal == value or all(other == book.settings[name].normal for name, other in check.state.items())


def _avoids(book: Book, check: Check, setting: str, value: str) -> bool:
    """Whether a check does without a setting at a value."""
    return check.state.get(setting, book.settings[setting].normal) != value


def _filled_conclusion(conclusion: Conclusion, variable: str, part: str, title: str) -> Conclusion:
    if not variable:
        return conclusion
    match conclusion:
        case AllowsCheck() | ForbidsCheck() | AsksSooner():
            return replace(conclusion, check=_fill(conclusion.check, variable, part))
        case RequiresCheck(check=check, faults=faults):
            return replace(conclusion, check=_fill(check, variable, part), faults=_fill_ref(faults, variable, part))
        case CountsInstead():
            return replace(
                conclusion,
                check=_fill(conclusion.check, variable, part),
                replaces=tuple(_fill(check, variable, part) for check in conclusion.replaces),
                about=tuple(_fill_ref(ref, variable, part) for ref in conclusion.about),
            )
        case ShiftsOdds():
            return replace(conclusion, faults=_fill_ref(conclusion.faults, variable, part))
        case Advises():
            return replace(conclusion, text=conclusion.text.replace(f"{{{variable}}}", title))
        case ConcludesFact() | LeavesSetting() | AvoidsValue() | WarnsOf():
            return conclusion
    assert_never(conclusion)


def _fill(name: str, variable: str, part: str) -> str:
    """A part, or a check template with a part."""
    template, dot, end = name.rpartition(".")
    return f"{template}{dot}{part}" if end == variable else name


def _fill_ref(ref: FaultRef, variable: str, part: str) -> FaultRef:
    return replace(ref, part=part) if ref.part == variable else ref
