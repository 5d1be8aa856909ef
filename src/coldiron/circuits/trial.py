"""The machine with certain faults, put in one state after the other."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf

from coldiron.circuits.damage import Damage, Sized, damage, sizes
from coldiron.circuits.layout import SwitchState
from coldiron.circuits.machine import Machine
from coldiron.circuits.quiet import Series, cut_off, series_of
from coldiron.circuits.solver import Solver
from coldiron.circuits.still import Solution, Still

MOST_SINGLE, MOST_OTHER = 480, 240
"""How many trials with at most one fault, and with more, are kept: the latest."""

NOTHING = 1e-6
"""Volts not worth loading: what a meter or a lamp leaves of them is less still."""

Cut = tuple[frozenset[int], ...]
"""For each picture of a solution the rows that are cut off when paths in it are opened."""


class Bench:
    """Where trials are made and kept."""

    def __init__(self, machine: Machine) -> None:
        self.solver = Solver(machine)
        self.layout = self.solver.layout
        self._single: dict[Sized, MachineTrial] = {}
        self._other: dict[Sized, MachineTrial] = {}
        self._series: dict[str, Series | None] = {}

    def trials(self, faults: Iterable[str]) -> tuple[MachineTrial, ...]:
        """The machine with a set of faults, at each level of severity the set has."""
        return tuple(self.trial(sized) for sized in sizes(self.layout, faults))

    def trial(self, sized: Sized) -> MachineTrial:
        """The machine with faults of given sizes."""
        kept, most = (self._single, MOST_SINGLE) if len(sized) <= 1 else (self._other, MOST_OTHER)
        if sized not in kept:
            if len(kept) >= most:
                del kept[next(iter(kept))]
            kept[sized] = MachineTrial(self, sized, damage(self.layout, sized))
        return kept[sized]

    def series(self, fault: str) -> Series | None:
        """The paths a fault opens or adds ohms to; None if it does anything else as well."""
        if fault not in self._series:
            self._series[fault] = series_of(self.layout, fault)
        return self._series[fault]


class MachineTrial:
    """The machine with certain damage. Solves each state once; relays go on from where the state before left them."""

    __slots__ = ("_found", "bench", "damage", "sized")

    def __init__(self, bench: Bench, sized: Sized, damage: Damage) -> None:
        self.bench = bench
        self.sized = sized
        self.damage = damage
        self._found: dict[SwitchState, Solution] = {}

    def solution(self, state: SwitchState) -> Solution:
        """The machine in a state, reached over the states before it from rest."""
        if state not in self._found:
            self._found[state] = self._derived(state) or self._solved(state)
        return self._found[state]

    def lamp_volts(self, state: SwitchState, path: int, siemens: float) -> float:
        """Volts over a lamp held on a path of the layout, whatever their sign; the mean where a relay chatters.

        If its current moves no relay and stalls no motor, the picture without it and the source resistance is enough:
        a battery's curve bends by less than 1 mV over the 1.8 A of a lamp. Else it is solved.
        """
        solver = self.bench.solver
        a, b = solver.layout.rows[path]
        if a == b:
            return 0.0
        solution = self.solution(state)
        if len(solution.stills) == 1:
            still = solution.stills[0]
            before = still.volts[a] - still.volts[b]
            if abs(before) < NOTHING:
                return abs(before)
            response = solver.response(solution, still, a, b)
            over = before / (1 + (response[a] - response[b]) * siemens)
            shifted = [volts - over * siemens * each for volts, each in zip(still.volts, response, strict=True)]
            if solver.lasts(solution, shifted):
                return abs(over)
        stills = self.with_lamp(state, path, siemens).stills
        return sum(abs(still.volts[a] - still.volts[b]) for still in stills) / len(stills)

    def with_lamp(self, state: SwitchState, path: int, siemens: float) -> Solution:
        """The machine in a state, and then a lamp is held on a path of the layout."""
        return self.bench.solver.solve(state, self.damage, self._settled(state), (path, siemens))

    def _settled(self, state: SwitchState) -> tuple[bool, ...]:
        return tuple(position == 1 for position in self.solution(state).pulled)

    def _solved(self, state: SwitchState) -> Solution:
        start = self._settled(state.before) if state.before else (False,) * len(self.bench.layout.magnets)
        return self.bench.solver.solve(state, self.damage, start)

    def _derived(self, state: SwitchState) -> Solution | None:
        """The solution with one fault less, where that fault changes nothing but what it cuts off."""
        if len(self.sized) < 2:
            return None
        for fault, third in self.sized:
            series = self.bench.series(fault)
            if series is not None:
                rest = self.bench.trial(tuple(one for one in self.sized if one != (fault, third)))
                cuts = rest.cut_by(state, series)
                if cuts is not None:
                    return self._with(rest.solution(state), self.bench.layout.machine.faults[fault].part, cuts)
        return None

    def _with(self, less: Solution, part: str, cuts: Cut) -> Solution:
        condition = next((condition for id_, condition in self.damage.stamps if id_ == part), None)
        if condition is None:
            return less
        stills = []
        for still, cut in zip((*less.passed, *less.stills), cuts, strict=True):
            siemens = still.siemens.copy()
            for path, value in self.bench.solver.paths(part, condition, less.state.closed, still.positions):
                siemens[path] = value
            volts, bounds = still.volts, still.bounds
            if cut:
                volts = [0.0 if row in cut else value for row, value in enumerate(volts)]
                bounds = [inf if row in cut else value for row, value in enumerate(bounds)]
            stills.append(Still(still.positions, volts, siemens, still.ports, bounds, None))
        way = len(less.passed)
        conditions = {**less.conditions, part: condition}
        return Solution(less.layout, less.state, tuple(stills[way:]), tuple(stills[:way]), less.pulled, conditions)

    def cut_by(self, state: SwitchState, series: Series) -> Cut | None:
        """The rows cut off in every picture of a state by a change of paths that carry no current; None if some do."""
        if state.before is not None and self.cut_by(state.before, series) is None:
            return None
        solution = self.solution(state)
        cuts = []
        for still in (*solution.passed, *solution.stills):
            cut = cut_off(solution, still, series)
            if cut is None:
                return None
            cuts.append(cut)
        return tuple(cuts)
