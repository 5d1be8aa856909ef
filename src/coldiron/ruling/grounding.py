"""The book's rules on one machine: written out once, run by the engine after every answer, read off as directives."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron import engine
from coldiron.book.faults import FaultRef
from coldiron.record import replace
from coldiron.ruling.directives import Directives, SessionFacts, read
from coldiron.ruling.instances import Dropped, GroundMachine, Instance, Naming, Writer

__all__ = ["Directives", "Grounding", "SessionFacts", "facts_of", "ground", "rules_of"]


class Grounding:
    """The book's rules for one machine.

    Attributes:
        machine: the machine.
        instances: the rules that can fire on it, by id of the engine rule.
        dropped: the rules and lines that cannot matter on it, with the reason.
        rules: what the engine runs.
    """

    def __init__(
        self,
        machine: GroundMachine,
        rules: engine.RuleSet,
        instances: Iterable[Instance],
        dropped: Iterable[Dropped],
        naming: Naming,
    ) -> None:
        self.machine = machine
        self.rules = rules
        self.instances = {instance.id: instance for instance in instances}
        self.dropped = tuple(dropped)
        self._naming = naming

    def named(self, ref: FaultRef) -> tuple[str, ...]:
        """Ids of the faults of the machine that a reference names, sorted."""
        return self._naming.named(ref)

    def direct(self, known: SessionFacts) -> Directives:
        """What the rules make of what is known. A pure function; equal for equal facts in any order.

        Answers to checks and repairs of faults that the machine does not have, left from a time when the job was taken
        for another machine, are passed over. What has a finding or a value counts as taken.
        """
        known = self._on_this_machine(known)
        given = [*facts_of(known), *(("has", part) for part in self.machine.parts)]
        result = engine.run(self.rules, given, known.values)
        return read(self.machine.book, self._naming, self.instances, known, result)

    def _on_this_machine(self, known: SessionFacts) -> SessionFacts:
        checks = frozenset(self.machine.checks)
        return replace(
            known,
            findings={check: finding for check, finding in known.findings.items() if check in checks},
            values={check: value for check, value in known.values.items() if check in checks},
            taken=known.taken.union(known.findings, known.values) & checks,
            repaired=known.repaired & self.machine.faults.keys(),
        )


def rules_of(machine: GroundMachine) -> engine.RuleSet | engine.Cycle:
    """The book's rules for a machine as the engine runs them, or the cycle that leaves their meaning open."""
    _, compiled, _ = _write(machine)
    return compiled


def ground(machine: GroundMachine) -> Grounding:
    """Write the book's rules out for a machine.

    Raises:
        ValueError: a fact depends on its own absence. `rules_of` gives the same as a value.
    """
    instances, compiled, writer = _write(machine)
    if isinstance(compiled, engine.Cycle):
        raise ValueError(str(compiled))  # noqa: TRY004 - it is the book that is wrong, not a type
    return Grounding(machine, compiled, instances, writer.dropped, writer.naming)


def _write(machine: GroundMachine) -> tuple[list[Instance], engine.RuleSet | engine.Cycle, Writer]:
    writer = Writer(machine)
    instances = [instance for rule in machine.book.rules.values() for instance in writer.instances(rule)]
    ready = [instance.ready for instance in instances]
    return instances, engine.compile_rules([*ready, *writer.helpers.values()]), writer


def facts_of(known: SessionFacts) -> list[engine.Fact]:
    """The facts of a session as the engine sees them."""
    facts: list[engine.Fact] = [("finding", check, finding) for check, finding in known.findings.items()]
    facts += [("taken", check) for check in known.taken]
    facts += [("history", asked, answer) for asked, answers in known.history.items() for answer in answers]
    facts += [("setting", setting, value) for setting, value in known.settings.items()]
    facts += [("repaired", fault) for fault in known.repaired]
    facts += [("code", name) for name in known.codes]
    facts += [("talks", "")] if known.talks else []
    return [*facts, ("complaint", known.complaint)] if known.complaint else facts
