"""What every check would read under any set of faults: solved once, kept, and turned into chances of findings."""

from __future__ import annotations

from collections.abc import Hashable
from math import prod
from typing import assert_never

from coldiron.book.checks import Quantity
from coldiron.book.faults import AddsOhms, Effect, Leaks, Locks, Opens, ScalesValue, SetsValue, Slips, StaysClosed
from coldiron.circuits import solved
from coldiron.circuits.bands import Scale, mean, scale, single
from coldiron.circuits.layout import SwitchState
from coldiron.circuits.machine import Machine
from coldiron.circuits.readings import Reader, reader
from coldiron.circuits.trial import Bench
from coldiron.store.cache import Cache

ONE_BY_ONE: frozenset[Quantity] = frozenset({"lamp"})
"""Quantities whose checks change the network themselves, so that each needs a solution of its own."""

MOST_SETS = 800
"""How many sets of several faults are kept in the file, some 2 kB each."""


class Predictor:
    """Solved values and chances of findings of one machine.

    With a cache the sound machine and all single faults are solved at once, or read from it; without, everything is
    solved when first asked for. Either way the values are the same. Checks made by eye are not solved.

    Args:
        machine: the machine.
        cache: where values are kept.

    Attributes:
        checks: the ids of the checks that are solved.
    """

    def __init__(self, machine: Machine, cache: Cache | None = None) -> None:
        self.machine = machine
        book = machine.book
        self.checks = tuple(id_ for id_ in machine.checks if book.checks[id_].reads.quantity != "eye")
        self._stands_for = _stand_ins(machine)
        self._scales: dict[str, Scale] = {}
        self._rows: dict[tuple[str, solved.Values], tuple[float, ...]] = {}
        self._table = solved.SolvedTable(self.checks)
        self._new = False
        self._bench: Bench | None = None
        self._states: dict[str, SwitchState] = {}
        self._alone: dict[str, Reader] = {}
        self._together: dict[SwitchState, list[tuple[str, Reader]]] = {}
        self._cache = cache
        self._key = solved.SOLVED.key(book.hash, machine.circuit.id) if cache is not None else ""
        if cache is not None:
            self._prepare(cache)

    def values(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        """What a check reads with exactly these faults present: one value, or one for each level of severity.

        Values are equally likely. V, A and ohms, an open line being infinite; lamp and glow as a share of nominal
        volts; click 0, 0.5 (chatters) or 1; turn as a share of full cranking speed.

        Raises:
            KeyError: a fault the machine cannot have, or a check it does not have or that is made by eye.
        """
        alike = self._alike(faults)
        known = self._table[alike]
        if check not in known:
            self._solve(check, alike, known)
        return known[check]

    def chances(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        """Chance of each finding of a check in the order of the book, then of `odd`, if nothing is misread."""
        return self._row(check, self.values(check, faults))

    def levels(self, check: str, faults: frozenset[str]) -> tuple[tuple[float, ...], ...]:
        """The same by level of severity, one row for each; `chances` is their mean."""
        return tuple([self._row(check, (value,)) for value in self.values(check, faults)])

    def at_once(self, check: str) -> Hashable:
        """The same for checks that are read in the same solution."""
        record = self.machine.book.checks[check]
        return check if record.reads.quantity in ONE_BY_ONE else frozenset(record.state.items())

    def _row(self, check: str, values: solved.Values) -> tuple[float, ...]:
        row = self._rows.get((check, values))
        if row is None:
            if check not in self._scales:
                self._scales[check] = scale(self.machine.book.checks[check], self.machine.volts, self.machine.batteries)
            one = len(values) == 1
            row = single(self._scales[check], values[0]) if one else mean([self._row(check, (v,)) for v in values])
            self._rows[check, values] = row
        return row

    def save(self) -> bool:
        """Keep what was solved so far for the next run; False if there is no cache or it cannot be written.

        Of sets of several faults the likeliest are kept, `MOST_SETS` of them. Nothing is written if nothing is new.
        """
        if self._cache is None:
            return False
        if not self._new:
            return True
        singles = [faults for faults in self._table.sets if len(faults) <= 1]
        sets = sorted((faults for faults in self._table.sets if len(faults) > 1), key=self._rarity)[:MOST_SETS]
        done = self._cache.put(self._key, solved.to_bytes(self._table, (*singles, *sets)))
        self._new = not done
        return done

    def _rarity(self, faults: frozenset[str]) -> tuple[float, list[str]]:
        names = sorted(faults)
        return -prod([self.machine.odds[name] for name in names]), names

    def _prepare(self, cache: Cache) -> None:
        kept = solved.from_bytes(cache.get(self._key))
        wanted = list(dict.fromkeys([frozenset[str](), *(self._alike(frozenset((f,))) for f in self.machine.faults)]))
        if kept is not None and kept.checks == self.checks and set(wanted).issubset(kept.sets):
            self._table = kept
            return
        for faults in wanted:
            for check in self.checks:
                self.values(check, faults)
        self.save()

    def _alike(self, faults: frozenset[str]) -> frozenset[str]:
        """The set that stands for all sets that do the same electrically: a blown fuse and one that is missing.

        An event does nothing itself.
        """
        events = self.machine.events
        return frozenset([self._stands_for[fault] for fault in faults if fault not in events])

    def _solve(self, check: str, faults: frozenset[str], known: dict[str, solved.Values]) -> None:
        """Solve a check, and with it all others that are read in the same solution."""
        trials = self._lay_out().trials(faults)
        state = self._states[check]
        self._new = True
        solutions = [(trial, trial.solution(state)) for trial in trials]
        alone = self._alone.get(check)
        for id_, reading in self._together[state] if alone is None else [(check, alone)]:
            known[id_] = tuple([reading(trial, solution) for trial, solution in solutions])

    def _lay_out(self) -> Bench:
        """The bench, and which checks are read in which state; made when first needed."""
        if self._bench is None:
            self._bench = Bench(self.machine)
            for id_ in self.checks:
                check = self.machine.book.checks[id_]
                self._states[id_] = state = self._bench.layout.state(check.state)
                reading = reader(check.reads, self._bench.layout)
                if check.reads.quantity in ONE_BY_ONE:
                    self._alone[id_] = reading
                else:
                    self._together.setdefault(state, []).append((id_, reading))
        return self._bench


def _stand_ins(machine: Machine) -> dict[str, str]:
    """For each fault the first of its part that does the same to the network, if doing it twice changes nothing."""
    first: dict[tuple[str, frozenset[str]], str] = {}
    found: dict[str, str] = {}
    for id_, fault in machine.faults.items():
        effects = fault.what.effects
        found[id_] = id_
        lasting = frozenset([_lasting(effect) for effect in effects])
        if lasting and "" not in lasting:
            found[id_] = first.setdefault((fault.part, lasting), id_)
    return found


def _lasting(effect: Effect) -> str:
    """What an effect does that is the same whether one fault has it or two; nothing if two do more."""
    match effect:
        case Opens() | StaysClosed():
            return f"{effect.form} {effect.at}"
        case Locks() | Slips():
            return effect.form
        case AddsOhms() | Leaks() | SetsValue() | ScalesValue():
            return ""
        case _:
            assert_never(effect)
