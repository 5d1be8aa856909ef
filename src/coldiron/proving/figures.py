"""What rules say of readings: conditions no machine meets, and findings made of readings that the circuit denies."""

from __future__ import annotations

from collections.abc import Iterable
from math import erf, hypot, sqrt

from coldiron.book.checks import ODD, UNITS
from coldiron.book.conclusions import Conclusion, CountsInstead
from coldiron.book.conditions import ReadingAgainst, ReadingsAgainst, checks_of
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.engine import Compare, Condition, Has
from coldiron.inference.machine_model import named as faults_of
from coldiron.proving.joint import ENOUGH, Best, best
from coldiron.proving.words import figure, named
from coldiron.proving.yard import POSSIBLE, Faults, Read, SolvedMachine, Yard
from coldiron.ruling.grounding import ground
from coldiron.ruling.instances import Instance

HOLDS = 0.5
"""A rule is taken to fire on a machine where each of its conditions on solved checks holds this often."""

Wanted = tuple[Condition, ...]
"""Conditions of one rule that readings of solved checks decide."""


def figures(yard: Yard) -> tuple[Problem, ...]:
    """Report rules whose readings never come together, and those that find what the circuit does not show."""
    never: dict[str, tuple[SolvedMachine, Instance, Best]] = {}
    sometimes: set[str] = set()
    against: dict[Place, Problem] = {}
    for solved in yard.machines:
        for instance in ground(solved.machine).instances.values():
            wanted = _wanted(solved, instance)
            if not wanted:
                continue
            if instance.rule.id not in sometimes:
                found = _meets(solved, wanted)
                if found.fit >= ENOUGH:
                    sometimes.add(instance.rule.id)
                else:
                    never.setdefault(instance.rule.id, (solved, instance, found))
            for then in instance.then:
                problem = _denied(solved, wanted, then)
                if problem is not None:
                    against.setdefault(then.place, problem)
    mute = [_never(*what) for rule, what in never.items() if rule not in sometimes]
    return (*mute, *against.values())


def _wanted(solved: SolvedMachine, instance: Instance) -> Wanted:
    return tuple(one for one in instance.ready.when if (names := _checks(one)) and names <= solved.checks)


def _checks(condition: Condition) -> frozenset[str]:
    """The checks a condition reads; none where it holds without a reading too."""
    if isinstance(condition, Compare):
        return frozenset(name for name in (condition.left, condition.right) if isinstance(name, str))
    if isinstance(condition, Has) and condition.fact[0] == "finding":
        return frozenset((condition.fact[1],))
    return frozenset()


def _meets(solved: SolvedMachine, wanted: Wanted) -> Best:
    return best(solved, lambda read: _fit(solved, wanted, read))


def _fit(solved: SolvedMachine, wanted: Iterable[Condition], read: Read) -> float:
    return min(_holds(solved, one, read) for one in wanted)


def _holds(solved: SolvedMachine, condition: Condition, read: Read) -> float:
    """How often a condition holds on a machine, spread of sound parts and meter counted in."""
    if isinstance(condition, Has):
        _, check, finding = condition.fact
        value = read(check)
        return solved.row(check, value)[-1] if finding == ODD else solved.chance(check, finding, value)
    if isinstance(condition, Compare):
        return _compared(solved, condition, read)
    return 1.0


def _compared(solved: SolvedMachine, condition: Compare, read: Read) -> float:
    deviations, values = [], []
    for side in (condition.left, condition.right):
        if isinstance(side, str):
            check, value = solved.machine.book.checks[side], read(side)
            deviations += [check.step, check.spread * value]
            values.append(value)
        else:
            values.append(side)
    over = values[0] - values[1] if condition.relation == "above" else values[1] - values[0]
    deviation = hypot(*deviations) or 1e-9
    chance = 0.5 * (1 + erf((over - condition.margin) / (deviation * sqrt(2))))
    return 1 - chance if condition.negated else chance


def _never(solved: SolvedMachine, instance: Instance, found: Best) -> Problem:
    wanted = _wanted(solved, instance)
    said = "no machine with one fault or two meets at once what this rule asks of readings"
    if found.read is None:
        return Problem("rule-never", instance.rule.place, said)
    read = found.read
    worst = min(wanted, key=lambda one: _holds(solved, one, read))
    return Problem(
        "rule-never",
        _place(instance, worst),
        f"{said}; nearest comes {named(found.faults)} on the circuit '{solved.machine.circuit.id}', where "
        f"{_shown(solved, _checks(worst), read)}",
    )


def _place(instance: Instance, condition: Condition) -> Place:
    """Where a condition of an instance stands: the first line of the rule that speaks of its check."""
    names = {name.partition(".")[0] for name in _checks(condition)}
    compares = isinstance(condition, Compare)
    for one in instance.rule.when:
        first = next(iter(checks_of(one.test)), "")
        compared = isinstance(one.test, ReadingAgainst | ReadingsAgainst)
        if compared is compares and first.partition(".")[0] in names:
            return one.place
    return instance.rule.place


def _denied(solved: SolvedMachine, wanted: Wanted, then: Conclusion) -> Problem | None:
    """A machine where the readings make a finding on a solved check that the check itself would not show."""
    if not isinstance(then, CountsInstead) or then.check not in solved.checks:
        return None
    about = {fault for ref in then.about for fault in faults_of(solved.machine, ref)}
    for faults in solved.chained:
        if about & faults:
            for read in solved.coarse(faults):
                if _fit(solved, wanted, read) >= HOLDS and _lacks(solved, then, read):
                    return _against(solved, then, faults, read, wanted)
    return None


def _lacks(solved: SolvedMachine, then: CountsInstead, read: Read) -> bool:
    return solved.chance(then.check, then.finding, read(then.check)) < POSSIBLE


def _against(solved: SolvedMachine, then: CountsInstead, faults: Faults, read: Read, wanted: Wanted) -> Problem:
    value = read(then.check)
    unit = UNITS.get(solved.machine.book.checks[then.check].reads.quantity, "")
    checks = frozenset(name for one in wanted for name in _checks(one))
    return Problem(
        "rule-against-circuit",
        then.place,
        f"this finds '{then.finding}' on '{then.check}'; with {named(faults)} on the circuit "
        f"'{solved.machine.circuit.id}' {_shown(solved, checks, read)}, and '{then.check}' is {figure(value, unit)}, "
        f"which is '{solved.usual(then.check, value) or 'odd'}'",
    )


def _shown(solved: SolvedMachine, checks: Iterable[str], read: Read) -> str:
    return ", ".join(_one(solved, check, read) for check in sorted(checks))


def _one(solved: SolvedMachine, check: str, read: Read) -> str:
    unit = UNITS.get(solved.machine.book.checks[check].reads.quantity, "")
    value = read(check)
    return f"'{check}' is {figure(value, unit)} ('{solved.usual(check, value) or 'odd'}')"
