"""The book's rules written out for one machine: one instance for every part a loop ranges over.

A line that can never matter on the machine is left out, and it is said which: a rule that waits for a check, part or
fault the machine does not have never fires, and what a rule concludes about such a thing has no meaning there. Leaving
it out changes no result.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from coldiron import engine
from coldiron.model import Book, Check, Conclusion, Condition, Fault, FaultRef, Loop, Part, Rule
from coldiron.record import dataclass, replace
from coldiron.source import Place


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

    def named(self, ref: FaultRef) -> tuple[str, ...]:
        """Ids of the faults of the machine that a reference names, sorted."""
        faults = self._by_kind.get(ref.kind, []) if ref.kind else self._by_part.get(ref.part, [])
        return tuple(fault.id for fault in faults if ref.fault in ("", fault.what.id))


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
                replaces = tuple(check for check in filled.replaces if check in self.checks)
                then.append(replace(filled, replaces=replaces))
        if not then:
            return []
        name = f"{rule.id}@{part}" if part else rule.id
        conditions = tuple(written for condition in when for written in self._written(condition))
        facts = tuple(fact for conclusion in then for fact in self.concluded(name, conclusion))
        return [Instance(name, rule, part, tuple(then), engine.FactRule(name, conditions, facts))]

    def _each(self, then: Iterable[Conclusion]) -> Iterable[Conclusion]:
        """The conclusions; a setting that is left as it is, or avoided, closes every check that would change it."""
        book = self.machine.book
        for conclusion in then:
            if conclusion.action not in ("leave", "avoid"):
                yield conclusion
                continue
            keeps = _leaves if conclusion.action == "leave" else _avoids
            for name in self.machine.checks:
                if not keeps(book, book.checks[name], conclusion):
                    yield replace(conclusion, action="close", name=name, value="")

    def _never(self, condition: Condition) -> str:
        """Why a condition cannot hold on this machine, or nothing."""
        if condition.test == "has" and (condition.name in self.machine.parts) is condition.negated:
            return f"the machine has {'a' if condition.negated else 'no'} {condition.name}"
        compares = condition.test in ("above", "below")
        if compares or (condition.test in ("finding", "taken") and not condition.negated):
            for check in (condition.name, condition.other or condition.name):
                if check not in self.checks:
                    return _no_check(check)
        if condition.faults and not condition.negated and not self.naming.named(condition.faults):
            return _no_fault(condition.faults)
        return ""

    def _idle(self, conclusion: Conclusion) -> str:
        """Why a conclusion means nothing on this machine, or nothing."""
        if conclusion.action in ("open", "close", "prefer", "require", "find") and conclusion.name not in self.checks:
            return _no_check(conclusion.name)
        refs = conclusion.about if conclusion.action == "find" else [conclusion.faults]
        wanted = [ref for ref in refs if ref is not None]
        if wanted and not any(map(self.naming.named, wanted)):
            return _no_fault(wanted[0])
        return ""

    def _written(self, condition: Condition) -> list[engine.Condition]:
        """A condition for the engine. Has a fault been repaired is asked of each fault that is named."""
        if condition.test in ("above", "below"):
            relation: engine.Relation = "above" if condition.test == "above" else "below"
            right, margin = (condition.other, condition.number) if condition.other else (condition.number, 0.0)
            return [engine.Compare(condition.name, relation, right, margin, condition.negated)]
        if condition.faults is None:
            fact = told(condition)
            return [engine.Lacks(fact) if condition.negated else engine.Has(fact)]
        faults = self.naming.named(condition.faults)
        if condition.negated:
            return [engine.Lacks(("repaired", fault)) for fault in faults]
        return [engine.Has(self._any_repaired(condition.faults, faults))]

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
        match conclusion.action:
            case "conclude":
                return (("fact", conclusion.name),)
            case "find":
                return (("finding", conclusion.name, conclusion.value),)
            case "advise":
                return (("advise", instance),)
            case "shift":
                faults = self.naming.named(conclusion.faults) if conclusion.faults else ()
                return tuple(("shift", fault) for fault in faults)
        return ((conclusion.action, conclusion.name),)


def told(condition: Condition) -> engine.Fact:
    """The fact a plain condition looks for."""
    if condition.test in ("finding", "history", "setting"):
        return (condition.test, condition.name, condition.value)
    return (condition.test, condition.name)


def _no_check(check: str) -> str:
    return f"the check {check} cannot be made on the machine"


def _no_fault(ref: FaultRef) -> str:
    return f"the machine has nothing that {ref} names"


def _filled(condition: Condition, variable: str, part: str) -> Condition:
    if not variable:
        return condition
    return replace(
        condition,
        name=_fill(condition.name, variable, part),
        other=_fill(condition.other, variable, part),
        faults=_fill_ref(condition.faults, variable, part),
    )


def _leaves(book: Book, check: Check, left: Conclusion) -> bool:
    """Whether a check wants a setting so, or is a look at a machine at rest, which moves nothing."""
    if left.name in check.state or check.reads.quantity != "eye":
        return check.state.get(left.name, book.settings[left.name].normal) == left.value
    return all(value == book.settings[name].normal for name, value in check.state.items()) or (
        book.settings[left.name].normal == left.value
    )


def _avoids(book: Book, check: Check, avoided: Conclusion) -> bool:
    """Whether a check does without a setting at a value."""
    return check.state.get(avoided.name, book.settings[avoided.name].normal) != avoided.value


def _filled_conclusion(conclusion: Conclusion, variable: str, part: str, title: str) -> Conclusion:
    if not variable:
        return conclusion
    return replace(
        conclusion,
        name=_fill(conclusion.name, variable, part),
        faults=_fill_ref(conclusion.faults, variable, part),
        replaces=tuple(_fill(check, variable, part) for check in conclusion.replaces),
        about=tuple(ref for about in conclusion.about if (ref := _fill_ref(about, variable, part))),
        text=conclusion.text.replace(f"{{{variable}}}", title),
    )


def _fill(name: str, variable: str, part: str) -> str:
    """A part, or a check template with a part."""
    template, dot, end = name.rpartition(".")
    return f"{template}{dot}{part}" if end == variable else name


def _fill_ref(ref: FaultRef | None, variable: str, part: str) -> FaultRef | None:
    return replace(ref, part=part) if ref and ref.part == variable else ref
