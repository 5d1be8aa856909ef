"""Directives: what the rules that fired ask of the consultation, and how those that disagree are settled.

Nothing here names a suspect: shifts are odds, vetoes wait, the beliefs decide. The same side wins whatever the order of
rules and answers:

- a check that one rule opens and another closes is closed;
- of several preferences for a check the strongest counts, of equal ones that of the first rule by id;
- of several shifts of a fault within one topic only the strongest counts, and all topics together stay within a factor
  of 10, or of what an answer is declared to reach; the topic is that of the question whose answer shifts or of the
  trouble code, for a rule that of the first question or code it waits for, else the rule is a topic of its own;
- of several findings derived for one check the one the check lists first, its worst, stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import assert_never

from coldiron import engine
from coldiron.book.book import Book
from coldiron.book.checks import ODD, Check
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
from coldiron.book.conditions import AnswerIs, CodeGiven
from coldiron.book.faults import FaultRef
from coldiron.book.history import LOOSE
from coldiron.book.rules import Rule
from coldiron.record import dataclass, field
from coldiron.ruling.instances import Instance, Naming


@dataclass(frozen=True, slots=True)
class SessionFacts:
    """What a job has told so far: readings of the present epoch, history, the state of the machine, and repairs.

    `findings` and `values` are by check, `taken` also holds checks that were tried and gave nothing, `history` has the
    answers by question, `settings` the present value of each, `repaired` fault ids. The values are in the unit of the
    check. `codes` are the entries of the book for the trouble codes given, `talks` says whether any was given.
    """

    complaint: str = ""
    history: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    findings: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, float] = field(default_factory=dict)
    taken: frozenset[str] = frozenset()
    settings: Mapping[str, str] = field(default_factory=dict)
    repaired: frozenset[str] = frozenset()
    codes: tuple[str, ...] = ()
    talks: bool = False


@dataclass(frozen=True, slots=True)
class Advice:
    """A sentence for the mechanic, and the rule that gives it."""

    text: str
    rule: str


@dataclass(frozen=True, slots=True)
class Derived:
    """A finding that rules made of several readings, and those rules, sorted.

    `masks` are (check, faults) pairs: about those faults that check says nothing any more, because this finding says it
    better.
    """

    check: str
    finding: str
    masks: tuple[tuple[str, frozenset[str]], ...]
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shifted:
    """One shift that counts: of a fault, within a topic, by the rule, question or trouble code `source`.

    `most` is how far it may reach; all those that reach no further than `LOOSE` do so together.
    """

    fault: str
    topic: str
    factor: float
    source: str
    most: float = LOOSE


@dataclass(frozen=True, slots=True)
class Directives:
    """What the rules ask of the consultation. Rule ids are those of the book.

    Attributes:
        opened: checks to offer although they would not be, sorted.
        closed: checks not to offer, sorted; what is closed is not opened.
        preferred: by check, a factor on its worth and the rule it comes from.
        required: by check, the faults on which there is no verdict until it is taken; without those taken or derived.
        warned: cautions that are due, sorted. Those of answers and checks are not among them.
        shifts: by fault, the factor on its odds that history brings.
        shifted: the shifts that make up `shifts`, by fault and topic.
        derived: findings made of several readings, by check; at most one a check.
        advice: sentences for the mechanic, by rule.
        because: by directive, as a fact of the engine ("forbid", check), the rules that bring it, sorted.
        result: what the engine found; the explanations of `engine` start from it.
    """

    opened: tuple[str, ...]
    closed: tuple[str, ...]
    preferred: Mapping[str, tuple[float, str]]
    required: Mapping[str, frozenset[str]]
    warned: tuple[str, ...]
    shifts: Mapping[str, float]
    shifted: tuple[Shifted, ...]
    derived: tuple[Derived, ...]
    advice: tuple[Advice, ...]
    because: Mapping[engine.Fact, tuple[str, ...]]
    result: engine.Result = field(compare=False)


def read(
    book: Book, naming: Naming, instances: Mapping[str, Instance], known: SessionFacts, result: engine.Result
) -> Directives:
    """Read the directives off what the engine found."""
    reader = _RuleReader(book, naming, known)
    for name in result.fired:
        if name in instances:  # the others only join repaired faults
            reader.apply(instances[name])
    return reader.directives(result)


class _RuleReader:
    """Collects what each rule says, rule by rule in the order of their ids."""

    def __init__(self, book: Book, naming: Naming, known: SessionFacts) -> None:
        self.book = book
        self.naming = naming
        self.known = known
        self.because: dict[engine.Fact, set[str]] = {}
        self.preferences: dict[str, list[tuple[float, str]]] = {}
        self.required: dict[str, set[str]] = {}
        self.found: dict[str, dict[str, list[tuple[CountsInstead, str]]]] = {}
        self.shifted: list[Shifted] = [*self._shifts_of_answers(), *self._shifts_of_codes()]
        self.advice: set[tuple[str, str]] = set()

    def directives(self, result: engine.Result) -> Directives:
        closed = self._subjects("forbid")
        counted = strongest(self.shifted)
        return Directives(
            opened=tuple(check for check in self._subjects("allow") if check not in closed),
            closed=closed,
            preferred={check: min(all_, key=_strength) for check, all_ in sorted(self.preferences.items())},
            required={
                check: frozenset(faults) for check, faults in sorted(self.required.items()) if check not in self.found
            },
            warned=self._subjects("warn"),
            shifts=combined(counted),
            shifted=counted,
            derived=tuple(self._derived(self.book.checks[check], ways) for check, ways in sorted(self.found.items())),
            advice=tuple(Advice(text, rule) for rule, text in sorted(self.advice)),
            because={fact: tuple(sorted(rules)) for fact, rules in sorted(self.because.items())},
            result=result,
        )

    def _subjects(self, action: str) -> tuple[str, ...]:
        return tuple(sorted(fact[1] for fact in self.because if fact[0] == action))

    def apply(self, instance: Instance) -> None:
        for fact in instance.ready.then:
            self.because.setdefault(fact, set()).add(instance.rule.id)
        for conclusion in instance.then:
            self._note(conclusion, instance.rule)

    def _note(self, conclusion: Conclusion, rule: Rule) -> None:
        """Keep what a conclusion says beyond its name."""
        match conclusion:
            case AsksSooner():
                self.preferences.setdefault(conclusion.check, []).append((conclusion.factor, rule.id))
            case RequiresCheck():
                if conclusion.check not in self.known.taken:
                    self.required.setdefault(conclusion.check, set()).update(self._named(conclusion.faults))
            case CountsInstead():
                ways = self.found.setdefault(conclusion.check, {})
                ways.setdefault(conclusion.finding, []).append((conclusion, rule.id))
            case Advises():
                self.advice.add((rule.id, conclusion.text))
            case ShiftsOdds():
                topic = self._topic(rule)
                faults = self._named(conclusion.faults)
                self.shifted += [Shifted(fault, topic, conclusion.factor, rule.id) for fault in faults]
            case ConcludesFact() | AllowsCheck() | ForbidsCheck() | LeavesSetting() | AvoidsValue() | WarnsOf():
                pass  # the engine's fact says it all
            case _:
                assert_never(conclusion)

    def _named(self, ref: FaultRef) -> tuple[str, ...]:
        return self.naming.named(ref)

    def _topic(self, rule: Rule) -> str:
        for condition in rule.when:
            match condition.test:
                case AnswerIs(question=asked) if asked in self.book.questions:
                    return self.book.questions[asked].topic or asked
                case CodeGiven(code=code) if code in self.book.codes:
                    return self.book.codes[code].topic
        return rule.id

    def _shifts_of_answers(self) -> Iterable[Shifted]:
        for asked, answers in self.known.history.items():
            question = self.book.questions.get(asked)
            for answer in question.answers if question else ():
                if question and answer.id in answers:
                    for shift in answer.shifts:
                        for fault in self._named(shift.faults):
                            yield Shifted(fault, question.topic or asked, shift.factor, asked, answer.most)

    def _shifts_of_codes(self) -> Iterable[Shifted]:
        for name in self.known.codes:
            code = self.book.codes[name]
            for shift in code.shifts:
                for fault in self._named(shift.faults):
                    yield Shifted(fault, code.topic, shift.factor, name)

    def _derived(self, check: Check, ways: Mapping[str, list[tuple[CountsInstead, str]]]) -> Derived:
        order = [*(finding.id for finding in check.findings), ODD]
        finding = min(ways, key=order.index)
        masks: dict[str, set[str]] = {}
        for conclusion, _ in ways[finding]:
            about = {fault for ref in conclusion.about for fault in self._named(ref)}
            for replaced in conclusion.replaces:
                masks.setdefault(replaced, set()).update(about)
        return Derived(
            check=check.id,
            finding=finding,
            masks=tuple((replaced, frozenset(faults)) for replaced, faults in sorted(masks.items())),
            rules=tuple(sorted({rule for _, rule in ways[finding]})),
        )


def _weight(factor: float) -> float:
    """How far a factor is from changing nothing, either way."""
    return max(factor, 1.0 / factor)


def _strength(preference: tuple[float, str]) -> tuple[float, str, float]:
    factor, rule = preference
    return -_weight(factor), rule, factor


def strongest(shifts: Iterable[Shifted]) -> tuple[Shifted, ...]:
    """The strongest shift of every fault and topic, ties by source; by fault and topic."""
    best: dict[tuple[str, str], Shifted] = {}
    for shift in sorted(shifts, key=lambda shift: (-_weight(shift.factor), shift.source, shift.factor)):
        best.setdefault((shift.fault, shift.topic), shift)
    return tuple(best[key] for key in sorted(best))


def within(shifts: Mapping[str, float], more: Mapping[str, float]) -> dict[str, float]:
    """Two sets of factors on the odds of faults multiplied, within `LOOSE` either way or as far as the first reach."""
    both = {fault: (shifts.get(fault, 1.0), more.get(fault, 1.0)) for fault in sorted({*shifts, *more})}
    return {fault: _held(one * other, max(LOOSE, _weight(one))) for fault, (one, other) in both.items()}


def combined(shifts: Iterable[Shifted]) -> dict[str, float]:
    """The factor on the odds of each fault: its shifts multiplied in the order given.

    What is loosely told stays within `LOOSE` either way; with what reaches further, within the furthest of that.
    """
    loose: dict[str, float] = {}
    far: dict[str, tuple[float, float]] = {}
    for shift in shifts:
        if shift.most > LOOSE:
            factor, most = far.get(shift.fault, (1.0, LOOSE))
            far[shift.fault] = factor * shift.factor, max(most, shift.most)
        else:
            loose[shift.fault] = loose.get(shift.fault, 1.0) * shift.factor
    factors = {fault: _held(factor, LOOSE) for fault, factor in loose.items()}
    for fault, (factor, most) in far.items():
        factors[fault] = _held(factors.get(fault, 1.0) * factor, most)
    return factors


def _held(factor: float, most: float) -> float:
    return min(max(factor, 1.0 / most), most)
