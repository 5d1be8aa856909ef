"""The table of a machine: what every check, and the complaint, would show under any set of faults.

One cell, one source. Checks that the circuit decides are solved with all faults of the set in it. What a fault shows
to eyes, ears and hands is declared, and overrides the solved value for that fault. Misreading comes on top.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from coldiron.book.checks import ODD, Check
from coldiron.book.history import COMPLAINT, Complaint
from coldiron.circuits.machine import Machine
from coldiron.inference.events import seen_at_places
from coldiron.inference.evidence import Metered
from coldiron.inference.faults import FaultModel
from coldiron.inference.machine_model import model_of
from coldiron.inference.measures import Measures, Solved

ODD_SHARE = 0.2
"""A wrong reading falls in no band this often, compared with any one of the other findings: an estimate, no source."""

WRONG_STORY = 0.06
"""Chance that a complaint is told wrongly: then any of them is as likely. An estimate, no source."""

LEAST_DEAD = 0.1
"""Chance of a complaint below which a set of faults is not helped by it having been made: an estimate, no source."""

Chances = tuple[float, ...]


class BookTable:
    """Chances of the findings of every check of a machine, in the order of the book, `odd` last.

    Attributes:
        model: The faults of the machine, for the judge.
    """

    def __init__(self, machine: Machine, solved: Solved, model: FaultModel | None = None) -> None:
        """Take a machine, its solved checks, and the fault model if it is not simply the machine's."""
        self.model = model or model_of(machine)
        self._book = machine.book
        self._solved = solved
        self._measures = Measures(machine, solved)
        self._lines = _lines(machine)
        self._hurts = {name: one.hurts.keys() for name, one in machine.events.items()}
        self._looks = frozenset(machine.looks.values())
        self._sees = [self._told_of(machine, complaint) for complaint in machine.book.complaints.values()]
        self._heard_as = self._tellings(machine.book.complaints)
        self._good: dict[str, int] = {}
        self._told: dict[tuple[str, Chances], Chances] = {}

    def _told_of(self, machine: Machine, complaint: Complaint) -> list[tuple[str, int]]:
        """What a complaint sees of this machine; nothing where a sound machine does all that is left of it as well."""
        left = [(check, finding) for check, finding in complaint.sees if check in machine.checks]
        if all(self._book.checks[check].good == finding for check, finding in left):
            return []
        return [(check, self.findings(check).index(finding)) for check, finding in left]

    def _tellings(self, complaints: Mapping[str, Complaint]) -> list[tuple[float, list[tuple[int, float]]]]:
        """By complaint, the share of those who see it and tell it, and the places of others that are taken for it.

        Each of the others with the share of those who take it so. Several that come to the same on this machine are
        taken for what the first of them is, and have an equal share each.
        """
        every = list(complaints.values())
        alike = {
            name: [place for place, other in enumerate(self._sees) if other == sees]
            for name, sees in zip(complaints, self._sees, strict=True)
            if sees
        }
        found: list[tuple[float, list[tuple[int, float]]]] = [(1.0, []) for _ in every]
        for place, sees in enumerate(self._sees):
            for other, share in every[self._sees.index(sees)].mistaken:
                for told in alike.get(other, ()):
                    part = share / len(alike[other])
                    found[place] = (found[place][0] - part, found[place][1])
                    found[told][1].append((place, part))
        return found

    def findings(self, check: str) -> tuple[str, ...]:
        """Ids of the findings of a check in the order of its chances."""
        if check == COMPLAINT:
            return (*self._book.complaints, ODD)
        return (*(finding.id for finding in self._book.checks[check].findings), ODD)

    def chances(self, check: str, faults: frozenset[str]) -> Chances:
        """Chance of each finding with exactly these faults in the machine.

        Raises:
            KeyError: if the machine has no such check or fault.
        """
        if check == COMPLAINT:
            return self._complaint(faults)
        record = self._book.checks[check]
        return self._reported(record, self.shown(record, faults))

    def _reported(self, check: Check, row: Chances) -> Chances:
        """A row as a person reports it, who misreads now and then."""
        told = self._told.get((check.id, row))
        if told is None:
            told = self._told[check.id, row] = misread(row, check.wrong)
        return told

    def levels(self, check: str, faults: frozenset[str]) -> tuple[Chances, ...]:
        """The same by level of severity, as far as the circuit decides; none where all levels are alike.

        What is told of the machine, and what eyes see, hangs on no level.
        """
        if check == COMPLAINT or self._book.checks[check].reads.quantity == "eye":
            return ()
        record = self._book.checks[check]
        telling = self._telling(check, faults)
        rows = self._solved.levels(check, faults.difference(telling))
        if all(row == rows[0] for row in rows):
            return ()
        return tuple([self._reported(record, self._declared_too(record, row, telling)) for row in rows])

    def weighs(self, check: str) -> bool:
        """Whether the figures of a check can be weighed: those of a meter."""
        return self._measures.has(check)

    def weighed(self, check: str, faults: frozenset[str], figures: Metered) -> tuple[float, ...]:
        """How likely figures are with exactly these faults, at each size of theirs; once where no size matters."""
        if self._telling(check, faults):
            return (self._measures.in_bands(check, self.shown(self._book.checks[check], faults), figures),)
        return self._measures.by_size(check, faults, figures)

    def astray(self, check: str, figures: Metered) -> float:
        """How likely figures are where nothing is known of the check."""
        return self._measures.astray(check, figures)

    def usual(self, check: str, faults: frozenset[str]) -> tuple[Metered, ...]:
        """Metered that these faults would show, equally likely; none where only a finding is declared."""
        return () if self._telling(check, faults) else self._measures.usual(check, faults)

    def at_once(self, check: str) -> Hashable:
        """The same for checks that one solution of the circuit answers; None where eyes do and nothing is solved."""
        if check == COMPLAINT:
            return check
        return None if self._book.checks[check].reads.quantity == "eye" else self._solved.at_once(check)

    def shown(self, check: Check, faults: frozenset[str]) -> Chances:
        """The same if nothing is misread."""
        telling = self._telling(check.id, faults)
        if check.reads.quantity == "eye":
            row = certain(self._good_of(check), len(check.findings) + 1)
        else:
            row = self._solved.chances(check.id, faults.difference(telling))
        return self._declared_too(check, row, telling)

    def _telling(self, check: str, faults: frozenset[str]) -> list[str]:
        """Those of the faults that are declared to show something on a check.

        At a place where wires pass, a wire shows nothing of itself that an event hurt: that shows where it happened.
        """
        told = sorted(faults & self._lines.get(check, {}).keys())
        events = faults & self._hurts.keys() if self._hurts else ()
        if not events or check not in self._looks:
            return told
        brought = {name for event in events for name in self._hurts[event]}
        return [name for name in told if name not in brought]

    def _declared_too(self, check: Check, row: Chances, telling: Sequence[str]) -> Chances:
        """A row with what some of the faults are declared to show."""
        good = self._good_of(check)
        for fault in telling:
            row = worst(row, _declared(check, good, self._lines[check.id][fault]), good)
        return row

    def _good_of(self, check: Check) -> int:
        if check.id not in self._good:
            self._good[check.id] = [finding.id for finding in check.findings].index(check.good)
        return self._good[check.id]

    def _complaint(self, faults: frozenset[str]) -> Chances:
        """Chance of each complaint: that the machine does all that makes it up, among all that a dead machine does."""
        rows: dict[str, tuple[Chances, ...]] = {}
        made = [self._makes(sees, faults, rows) for sees in self._sees]
        whole = max(sum(made), LEAST_DEAD)
        astray = WRONG_STORY / (len(made) + 1)
        left = [(1 - WRONG_STORY) * chance / whole for chance in made]
        told = [
            astray + keep * own + sum(share * left[place] for place, share in others)
            for own, (keep, others) in zip(left, self._heard_as, strict=True)
        ]
        return (*told, 1 - sum(told))

    def _makes(
        self, sees: Sequence[tuple[str, int]], faults: frozenset[str], rows: dict[str, tuple[Chances, ...]]
    ) -> float:
        """Chance that a machine with these faults does all this at once; 0 if it has none of the parts spoken of.

        All that it does, it does at one severity: a battery that is flat enough to chatter is so for its lights too.
        """
        chances = [1.0 if sees else 0.0]
        for check, place in sees:
            if check not in rows:
                rows[check] = self._by_level(self._book.checks[check], faults)
            met = [row[place] for row in rows[check]]
            levels = max(len(chances), len(met))
            chances = [chances[k % len(chances)] * met[k % len(met)] for k in range(levels)]
            if not any(chances):
                break  # what else it does need not be solved
        return sum(chances) / len(chances)

    def _by_level(self, check: Check, faults: frozenset[str]) -> tuple[Chances, ...]:
        """What `shown` gives at each level of severity; one row where eyes decide."""
        if check.reads.quantity == "eye":
            return (self.shown(check, faults),)
        telling = self._telling(check.id, faults)
        rows = self._solved.levels(check.id, faults.difference(telling))
        return tuple([self._declared_too(check, row, telling) for row in rows])


def misread(row: Sequence[float], wrong: float) -> Chances:
    """Findings as they are reported, with the chance `wrong` of reporting another than the true one.

    Any other is as likely, `odd` (the last) less so.
    """
    weights = [1.0] * (len(row) - 1) + [ODD_SHARE]
    total = sum(weights)
    share = [chance * wrong / (total - weight) for chance, weight in zip(row, weights, strict=True)]
    spread = sum(share)
    return tuple(
        chance * (1 - wrong) + weight * (spread - own) for chance, weight, own in zip(row, weights, share, strict=True)
    )


def worst(one: Sequence[float], other: Sequence[float], good: int) -> Chances:
    """The worse of two findings that come about independently (noisy-MAX).

    Findings stand worst first; the last, `odd`, is worse than all, and the one numbered `good` better than all.
    """
    last = len(one) - 1
    order = [last, *(i for i in range(last) if i != good), *([good] if good != last else [])]
    found = [0.0] * len(one)
    rest_one = rest_other = 1.0
    for place in order:
        found[place] = one[place] * rest_other + (rest_one - one[place]) * other[place]
        rest_one -= one[place]
        rest_other -= other[place]
    return tuple(max(0.0, chance) for chance in found)


def certain(place: int, count: int) -> Chances:
    """The row of a finding that is certain."""
    return tuple(1.0 if i == place else 0.0 for i in range(count))


def _declared(check: Check, good: int, line: Mapping[str, float]) -> Chances:
    """A fault's own findings of a check, good where it shows none."""
    row = [line.get(finding.id, 0.0) for finding in check.findings] + [line.get(ODD, 0.0)]
    total = sum(row)
    if total > 1:
        return tuple(chance / total for chance in row)
    row[good] += 1 - total
    return tuple(row)


def _lines(machine: Machine) -> dict[str, dict[str, dict[str, float]]]:
    """Declared findings by check, fault and finding. A template check stands for the check of the fault's own part."""
    found: dict[str, dict[str, dict[str, float]]] = {}
    applies = set(machine.checks)
    for name, fault in machine.faults.items():
        for line in fault.what.shows:
            check = line.check if line.check in applies else f"{line.check}.{fault.part}"
            if check in applies:
                found.setdefault(check, {}).setdefault(name, {})[line.finding] = line.chance
    for check, name, shown in seen_at_places(machine):
        found.setdefault(check, {})[name] = dict(shown)
    return found
