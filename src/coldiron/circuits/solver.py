"""The machine in one state with given faults: relay positions by sweeps that end, then the volts of every point."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf

from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout, Magnetic, State
from coldiron.circuits.machine import Machine
from coldiron.circuits.ports import Kept, Ports, runs_at, settle
from coldiron.circuits.stamps import Magnet, Stamp, levelled, size, stamp
from coldiron.model import Effect

QUANTILES = (1 / 6, 1 / 2, 5 / 6)
"""Where the range of a fault's size is sampled: the middle of each third, with equal weight."""

LEVELS = len(QUANTILES)
PLAIN_LEVEL = 1

_TURNED = ((0, 1, 2), (1, 2, 0), (0, 2, 1))
"""Which quantile the first, second, third ... fault with a range has at each level.

Going through the quantiles in step would pretend that a bad joint comes with a bad cable; all combinations would cost
9 or 27 solutions. Turned so, every fault still has each of its sizes once.
"""

CHATTERS = 0.5
"""The position of a relay that pulls in, cuts its own supply and lets go again, without end."""


@dataclass(frozen=True, slots=True)
class Damage:
    """A set of faults at one level of severity, as changes to the network.

    `stamps` are the parts in their bad condition; `leaks` are (path, siemens).
    """

    stamps: tuple[tuple[str, Stamp], ...] = ()
    leaks: tuple[tuple[int, float], ...] = ()


@dataclass(slots=True)
class Still:
    """The network with its relays held in one position, solved.

    `positions` are those of the magnets, True for pulled in, as they were held; `volts` are by row; `siemens` of every
    path; `factor` answers what a small extra current would change; `bounds` are upper bounds of the source resistance
    of each row. Until it is finished it has no bounds, and volts only in the rows that magnets depend on.
    """

    positions: tuple[bool, ...]
    volts: list[float]
    siemens: list[float]
    factor: Factor
    ports: Ports
    bounds: list[float] = field(default_factory=list)

    def finish(self, layout: Layout) -> Still:
        """Fill in all volts and the bounds."""
        self.bounds = self.factor.finish(layout.plan, self.volts)
        return self


@dataclass(slots=True)
class Solution:
    """The machine in one state: one picture, or, where a relay chatters, those it runs through over and over.

    `pulled` gives the position of every magnet: 0 at rest, 1 pulled in, 0.5 chattering. `conditions` are the stamps
    of all parts, sound and faulty.
    """

    layout: Layout
    stills: tuple[Still, ...]
    pulled: tuple[float, ...]
    conditions: dict[str, Stamp]

    def volts(self, point: str) -> float:
        """Volts of a point to the reference, without any meter; the mean where a relay chatters."""
        row = self.layout.row(point)
        return sum(still.volts[row] for still in self.stills) / len(self.stills)

    def response(self, still: Still, a: int, b: int) -> list[float]:
        """Volts by row for each amp sent in at row a and out at row b, beside what flows already."""
        plan = self.layout.plan
        amps = [0.0] * (plan.size + 1)
        amps[a] += 1.0
        amps[b] -= 1.0
        return still.factor.volts(plan, amps)

    def position(self, part: str) -> float:
        """Position of the magnet of a relay or starter: 0, 1, or 0.5 when it chatters."""
        return self.pulled[[magnet.part for magnet in self.layout.magnets].index(part)]


@dataclass(slots=True)
class _Sound:
    """The sound machine in one state with its relays held, worked through: what every other solution starts from."""

    siemens: list[float]
    base: list[float]
    factor: Factor
    held: list[tuple[int, float]]
    ports: Ports


class Solver:
    """Solves one machine. Keeps what it has worked through of the sound machine, so that faults cost little more."""

    def __init__(self, machine: Machine) -> None:
        self.machine = machine
        self.layout = Layout(machine)
        self.healthy = {id_: stamp(machine.kind(id_).acts, machine.values(id_)) for id_ in machine.parts}
        self._sound: dict[tuple[tuple[bool, ...], tuple[bool, ...]], _Sound] = {}
        self._gate = {id_: number for number, id_ in enumerate(self.layout.gates)}
        self._armature = {magnet.part: number for number, magnet in enumerate(self.layout.magnets)}

    def levels(self, faults: Iterable[str]) -> tuple[int, ...]:
        """The levels of severity a set of faults has: three if any of them has a range, else one."""
        if any(levelled(self.machine.faults[fault].what.effects) for fault in faults):
            return tuple(range(LEVELS))
        return (PLAIN_LEVEL,)

    def damage(self, faults: Iterable[str], level: int) -> Damage:
        """What a set of faults does to the network at one level of severity."""
        effects: dict[str, list[tuple[Effect, float]]] = {}
        leaks: list[tuple[int, float]] = []
        ranged = 0
        for id_ in sorted(faults):
            fault = self.machine.faults[id_]
            what = fault.what.effects
            quantile = QUANTILES[level]
            if levelled(what):
                quantile = QUANTILES[_TURNED[ranged % len(_TURNED)][level]]
                ranged += 1
            for index, effect in enumerate(what):
                amount = size(effect, quantile)
                if effect.verb != "leaks":
                    effects.setdefault(fault.part, []).append((effect, amount))
                elif (id_, index) in self.layout.leak:
                    leaks.append((self.layout.leak[id_, index], 1 / amount))
        stamps = tuple(
            (part, stamp(self.machine.kind(part).acts, self.machine.values(part), found))
            for part, found in effects.items()
        )
        return Damage(stamps, tuple(leaks))

    def trial(self, faults: Iterable[str] = (), level: int = PLAIN_LEVEL) -> Trial:
        """The machine with a set of faults at one level of severity, to be put in one state after the other."""
        return Trial(self, self.damage(faults, level))

    def solve(
        self, state: State, damage: Damage, start: Sequence[bool], lamp: tuple[int, float] | None = None
    ) -> Solution:
        """The machine in a state with damage; `lamp` is a path of the layout and its siemens, a lamp held there.

        Relays start as `start` says. In each sweep the network is solved with all contacts held and then every magnet
        does what its amps say. The next sweep depends on the positions alone, so with k magnets a position comes back
        after at most 2**k sweeps: either it stays, or the positions from its first visit on are run through for ever,
        and the magnets that differ among them chatter.
        """
        positions = tuple(start)
        conditions = self.healthy | dict(damage.stamps) if damage.stamps else self.healthy
        seen: dict[tuple[bool, ...], Still] = {}
        while positions not in seen:
            still = self._still(state, positions, damage, lamp, conditions)
            seen[positions] = still
            positions = self.pulled(still.volts, positions, conditions)
        visited = list(seen)
        cycle = visited[visited.index(positions) :]
        pulled = tuple(
            CHATTERS if any(one[k] != positions[k] for one in cycle) else float(positions[k])
            for k in range(len(positions))
        )
        return Solution(self.layout, tuple(seen[one].finish(self.layout) for one in cycle), pulled, conditions)

    def pulled(self, volts: Sequence[float], held: Sequence[bool], conditions: Mapping[str, Stamp]) -> tuple[bool, ...]:
        """Which magnets are in after a sweep that began with those `held`."""
        return tuple(
            [
                _pulls(magnet, conditions[magnet.part].magnet, volts, held=was)
                for magnet, was in zip(self.layout.magnets, held, strict=True)
            ]
        )

    def lasts(self, solution: Solution, volts: Sequence[float]) -> bool:
        """Whether relays and motors of a solution of one picture would stay as they are at other volts."""
        still = solution.stills[0]
        if self.pulled(volts, still.positions, solution.conditions) != still.positions:
            return False
        for port, runs in zip(self.layout.motors, still.ports.running, strict=True):
            motor = solution.conditions[port.part].motor
            if motor is not None and runs_at(motor, volts[port.a] - volts[port.b]) != runs:
                return False
        return True

    def _still(
        self,
        state: State,
        positions: tuple[bool, ...],
        damage: Damage,
        lamp: tuple[int, float] | None,
        conditions: dict[str, Stamp],
    ) -> Still:
        sound = self._sound_in(state.closed, positions)
        layout = self.layout
        changes = [*damage.leaks]
        if lamp is not None:
            changes.append(lamp)
        for part, condition in damage.stamps:
            changes += self._paths(part, condition, state.closed, positions)
        siemens = sound.siemens
        changed = [(path, value) for path, value in changes if siemens[path] != value and layout.slot[path] >= 0]
        factor, base, held = sound.factor.copy(), sound.base, sound.held
        if changed:
            siemens, base = siemens.copy(), base.copy()
            for path, value in changed:
                siemens[path] = value
            rows: set[int] = set()
            for slot in {layout.slot[path] for path, _ in changed}:
                base[slot] = layout.slot_siemens(slot, siemens)
            for path, _ in changed:
                low = min(layout.rows[path])
                if low < layout.plan.top:
                    rows.update(layout.plan.climb[low])
            factor.rework(layout.plan, base, sorted(rows))
            held = factor.gathered(layout.plan, base)
        volts, ports = self._settle(factor, held, conditions, siemens, sound.ports)
        return Still(positions, volts, siemens, factor, ports)

    def _settle(
        self,
        factor: Factor,
        held: list[tuple[int, float]],
        conditions: dict[str, Stamp],
        siemens: Sequence[float],
        near: Ports,
    ) -> tuple[list[float], Ports]:
        cells = [cell for port in self.layout.batteries if (cell := conditions[port.part].cell)]
        motors = [motor for port in self.layout.motors if (motor := conditions[port.part].motor)]
        fed = [siemens[port.switch] > 0 for port in self.layout.motors]
        could = [on and motor.ohms is not None and motor.amps < inf for on, motor in zip(fed, motors, strict=True)]
        start = Ports(near.amps, [was and may for was, may in zip(near.running, could, strict=True)])
        volts, ports = settle(Kept(self.layout, factor, held, cells, motors), start)
        factor.spread(self.layout.plan, volts, self.layout.felt)
        return volts, ports

    def _paths(
        self, part: str, condition: Stamp, closed: tuple[bool, ...], positions: tuple[bool, ...]
    ) -> list[tuple[int, float]]:
        """(path, siemens) of the paths of a part with its switch or contact as it stands."""
        first = self.layout.path_of[part]
        found = [(first + k, value) for k, value in enumerate(condition.siemens)]
        if condition.forced or not found:
            return found
        shut = True
        if part in self._armature and condition.magnet is not None:
            shut = positions[self._armature[part]] != condition.magnet.rests_closed
        elif part in self._gate:
            shut = closed[self._gate[part]]
        if not shut:
            found[-1] = found[-1][0], 0.0
        return found

    def _sound_in(self, closed: tuple[bool, ...], positions: tuple[bool, ...]) -> _Sound:
        key = closed, positions
        if key not in self._sound:
            layout = self.layout
            siemens = [0.0] * len(layout.rows)
            for part, condition in self.healthy.items():
                for path, value in self._paths(part, condition, closed, positions):
                    siemens[path] = value
            base = layout.base(siemens)
            factor = Factor.blank(layout.plan)
            factor.rework(layout.plan, base, range(layout.plan.top))
            held = factor.gathered(layout.plan, base)
            near = Ports([0.0] * len(layout.batteries), [True] * len(layout.motors))
            _, ports = self._settle(factor, held, self.healthy, siemens, near)
            self._sound[key] = _Sound(siemens, base, factor, held, ports)
        return self._sound[key]


class Trial:
    """The machine with certain damage. Solves each state once; relays go on from where the state before left them."""

    __slots__ = ("_found", "damage", "solver")

    def __init__(self, solver: Solver, damage: Damage) -> None:
        self.solver = solver
        self.damage = damage
        self._found: dict[State, Solution] = {}

    def solution(self, state: State) -> Solution:
        """The machine in a state, reached over the states before it from rest."""
        if state not in self._found:
            magnets = self.solver.layout.magnets
            start = self._settled(state.before) if state.before else (False,) * len(magnets)
            self._found[state] = self.solver.solve(state, self.damage, start)
        return self._found[state]

    def with_lamp(self, state: State, path: int, siemens: float) -> Solution:
        """The same, and then a lamp is held on a path of the layout."""
        return self.solver.solve(state, self.damage, self._settled(state), (path, siemens))

    def lamp_volts(self, state: State, path: int, siemens: float) -> float:
        """Volts over a lamp held on a path of the layout, whatever their sign; the mean where a relay chatters.

        If its current moves no relay and stalls no motor, the picture without it and the source
        resistance is enough: a battery's curve bends by less than 1 mV over the 1.8 A of a lamp. Else it is solved.
        """
        layout = self.solver.layout
        a, b = layout.rows[path]
        if a == b:
            return 0.0
        solution = self.solution(state)
        if len(solution.stills) == 1:
            volts, response = solution.stills[0].volts, solution.response(solution.stills[0], a, b)
            over = (volts[a] - volts[b]) / (1 + (response[a] - response[b]) * siemens)
            shifted = [before - over * siemens * each for before, each in zip(volts, response, strict=True)]
            if self.solver.lasts(solution, shifted):
                return abs(over)
        stills = self.with_lamp(state, path, siemens).stills
        return sum(abs(still.volts[a] - still.volts[b]) for still in stills) / len(stills)

    def _settled(self, state: State) -> tuple[bool, ...]:
        return tuple(position == 1 for position in self.solution(state).pulled)


def _pulls(magnet: Magnetic, sort: Magnet | None, volts: Sequence[float], *, held: bool) -> bool:
    """Whether a magnet is in after a sweep: it needs `pull` to come in and keeps in down to `hold`."""
    if sort is None:
        return False
    force = 0.0
    for (a, b), weight in zip(magnet.windings, sort.weights, strict=True):
        force += (volts[a] - volts[b]) * weight
    return abs(force) >= (sort.hold if held else sort.pull)
