"""The machine with certain faults, put in one state after the other.

Where a fault only opens paths or adds ohms to paths in which no current flows anyway, nothing changes but what hangs
on an opened path alone: that is dead. (The compensation theorem: a change of resistance acts like a source of its ohms
times the current through it.) Most pairs of faults are like that in most states, and need no solution of their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf

from coldiron.circuits.damage import Damage, Sized, damage, sizes
from coldiron.circuits.layout import State
from coldiron.circuits.machine import Machine
from coldiron.circuits.solver import Solver
from coldiron.circuits.stamps import MAIN_PATH, paths
from coldiron.circuits.still import Solution, Still

QUIET_AMPS = 2e-7
"""Below this a path carries no current: what the leaks of a whole machine make together."""

QUIET_VOLTS = 1e-6

QUIET_OHMS = 1000.0
"""Most ohms that may be added to such a path unsolved: they change what a 10 Mohm meter shows by 1 part in 10 000."""

MOST_SINGLE, MOST_OTHER = 240, 96
"""How many trials with at most one fault, and with more, are kept: the latest."""

Cut = tuple[frozenset[int], ...]
"""For each picture of a solution the rows that are cut off when paths in it are opened."""


class Bench:
    """Where trials are made and kept."""

    def __init__(self, machine: Machine) -> None:
        self.solver = Solver(machine)
        self.layout = self.solver.layout
        self._single: dict[Sized, Trial] = {}
        self._other: dict[Sized, Trial] = {}
        self._series: dict[str, Series | None] = {}

    def trials(self, faults: Iterable[str]) -> tuple[Trial, ...]:
        """The machine with a set of faults, at each level of severity the set has."""
        return tuple(self.trial(sized) for sized in sizes(self.layout, faults))

    def trial(self, sized: Sized) -> Trial:
        """The machine with faults of given sizes."""
        kept, most = (self._single, MOST_SINGLE) if len(sized) <= 1 else (self._other, MOST_OTHER)
        if sized not in kept:
            if len(kept) >= most:
                del kept[next(iter(kept))]
            kept[sized] = Trial(self, sized, damage(self.layout, sized))
        return kept[sized]

    def series(self, fault: str) -> Series | None:
        """The paths a fault opens or adds ohms to; None if it does anything else as well."""
        if fault not in self._series:
            self._series[fault] = self._series_of(fault)
        return self._series[fault]

    def _series_of(self, id_: str) -> Series | None:
        fault = self.layout.machine.faults[id_]
        acts = self.layout.machine.kind(fault.part).acts
        names = paths(acts)
        first = self.layout.path_of[fault.part]
        opened: list[int] = []
        other: list[int] = []
        for effect in fault.what.effects:
            at = effect.at or (MAIN_PATH.get(acts, "") if effect.verb == "adds" else "")
            whole = not at and acts in ("relay", "rest_relay")
            found = [first + k for k, name in enumerate(names) if whole or name == at]
            if not found or effect.verb not in ("open", "adds") or effect.high > QUIET_OHMS:
                return None
            (opened if effect.verb == "open" else other).extend(found)
        return Series(tuple(opened), tuple(other))


class Series:
    """Paths a fault opens, and paths it adds ohms to."""

    __slots__ = ("added", "opened")

    def __init__(self, opened: tuple[int, ...], added: tuple[int, ...]) -> None:
        self.opened = opened
        self.added = added


class Trial:
    """The machine with certain damage. Solves each state once; relays go on from where the state before left them."""

    __slots__ = ("_cuts", "_found", "bench", "damage", "sized")

    def __init__(self, bench: Bench, sized: Sized, damage: Damage) -> None:
        self.bench = bench
        self.sized = sized
        self.damage = damage
        self._found: dict[State, Solution] = {}

    def solution(self, state: State) -> Solution:
        """The machine in a state, reached over the states before it from rest."""
        if state not in self._found:
            self._found[state] = self._derived(state) or self._solved(state)
        return self._found[state]

    def lamp_volts(self, state: State, path: int, siemens: float) -> float:
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
            response = solver.response(solution, still, a, b)
            over = (still.volts[a] - still.volts[b]) / (1 + (response[a] - response[b]) * siemens)
            shifted = [before - over * siemens * each for before, each in zip(still.volts, response, strict=True)]
            if solver.lasts(solution, shifted):
                return abs(over)
        stills = self.with_lamp(state, path, siemens).stills
        return sum(abs(still.volts[a] - still.volts[b]) for still in stills) / len(stills)

    def with_lamp(self, state: State, path: int, siemens: float) -> Solution:
        """The machine in a state, and then a lamp is held on a path of the layout."""
        return self.bench.solver.solve(state, self.damage, self._settled(state), (path, siemens))

    def _settled(self, state: State) -> tuple[bool, ...]:
        return tuple(position == 1 for position in self.solution(state).pulled)

    def _solved(self, state: State) -> Solution:
        start = self._settled(state.before) if state.before else (False,) * len(self.bench.layout.magnets)
        return self.bench.solver.solve(state, self.damage, start)

    def _derived(self, state: State) -> Solution | None:
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

    def cut_by(self, state: State, series: Series) -> Cut | None:
        """The rows cut off in every picture of a state by a change of paths that carry no current; None if some do."""
        if state.before is not None and self.cut_by(state.before, series) is None:
            return None
        solution = self.solution(state)
        cuts = []
        for still in (*solution.passed, *solution.stills):
            if any(_loud(solution, still, path) for path in (*series.opened, *series.added)):
                return None
            cut = _cut_off(solution, still, series.opened)
            if cut is None:
                return None
            cuts.append(cut)
        return tuple(cuts)


def _loud(solution: Solution, still: Still, path: int) -> bool:
    a, b = solution.layout.rows[path]
    return abs((still.volts[a] - still.volts[b]) * still.siemens[path]) > QUIET_AMPS


def _cut_off(solution: Solution, still: Still, opened: Sequence[int]) -> frozenset[int] | None:
    """The rows that lose touch with the reference when quiet paths open, if they have volts; None if a battery does."""
    rows = solution.layout.rows
    ends = [rows[path] for path in opened if still.siemens[path] and rows[path][0] != rows[path][1]]
    if all(abs(still.volts[row]) < QUIET_VOLTS for pair in ends for row in pair):
        return frozenset()
    live = solution.layout.live(still.siemens, solution.conditions)
    for path in opened:
        live[path] = 0.0
    lost: set[int] = set()
    for pair in ends:
        for row in pair:
            if row not in lost:
                reached = solution.layout.reached(row, live)
                if solution.layout.plan.size not in reached:
                    lost |= reached
    if any(live[number] and {a, b} & lost for number, a, b in solution.layout.battery_paths):
        return None
    return frozenset(lost)
