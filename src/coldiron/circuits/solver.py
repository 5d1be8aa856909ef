"""The machine in one state with given damage: relay positions by sweeps that end, then the volts of every point."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from math import inf

from coldiron.circuits.damage import Damage
from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout, Magnetic, SwitchState
from coldiron.circuits.machine import Machine
from coldiron.circuits.ports import (
    Held,
    Ports,
    ReducedNetwork,
    from_rest,
    ridden_out,
    runs_at,
    settle,
    straighten,
    switched_on,
)
from coldiron.circuits.stamps import SHUT, Magnet, Stamp, Valve, stamp
from coldiron.circuits.still import Solution, Still
from coldiron.record import dataclass

CHATTERS = 0.5
"""The position of a relay that pulls in, cuts its own supply and lets go again, without end."""

MOST_FACTORS = 64
"""How many pictures keep their factor, which is most of their bulk: the latest."""


@dataclass(slots=True)
class _Sound:
    """The sound machine in one state with its relays held, worked through: what every other solution starts from."""

    siemens: list[float]
    base: list[float]
    factor: Factor
    held: Held
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
        self._turned = {port.part: self._gate[port.part] for port in self.layout.valves if port.part in self._gate}
        self._worked: deque[Still] = deque()

    def solve(
        self, state: SwitchState, damage: Damage, start: Sequence[bool], lamp: tuple[int, float] | None = None
    ) -> Solution:
        """The machine in a state with damage; `lamp` is a path of the layout and its siemens, a lamp held there.

        Relays start as `start` says. In each sweep the network is solved with all contacts held and then every magnet
        does what its amps say. A motor that its solenoid has just switched on stands still yet, and takes all that
        flows through its ohms: for that moment the solenoid alone may let go, all other magnets ride it out. The next
        sweep depends on the positions and the motors so switched on alone, so they come back
        after some sweeps: either they stay, or those from the first visit on are run through for ever, and the magnets
        that differ among them chatter.
        """
        conditions = self.healthy | dict(damage.stamps) if damage.stamps else self.healthy
        changes = damage.leaks if lamp is None else (*damage.leaks, lamp)
        seen: dict[tuple[tuple[bool, ...], tuple[str, ...]], Still] = {}
        at: tuple[tuple[bool, ...], tuple[str, ...]] = tuple(start), ()
        while at not in seen:
            positions, starting = at
            sound = self._sound_in(state.closed, positions)
            changed = self._changed(sound, state, positions, damage.stamps, changes)
            still = seen[at] = self._still(sound, positions, changed, from_rest(conditions, starting))
            after = self.pulled(still.volts, positions, conditions, state.closed)
            if starting:
                after = ridden_out(self.layout.magnets, positions, after, starting)
            at = after, switched_on(self.layout.magnets, positions, after, conditions)
        visited = [positions for positions, _ in seen]
        first = list(seen).index(at)
        positions = at[0]
        pulled = tuple(
            CHATTERS if any(one[k] != positions[k] for one in visited[first:]) else float(positions[k])
            for k in range(len(positions))
        )
        stills = tuple(seen.values())
        return Solution(self.layout, state, stills[first:], stills[:first], pulled, conditions)

    def pulled(
        self, volts: Sequence[float], held: Sequence[bool], conditions: Mapping[str, Stamp], closed: Sequence[bool]
    ) -> tuple[bool, ...]:
        """Which magnets are in after a sweep that began with those `held`; an alternator that stands still sleeps."""
        return tuple(
            [
                _pulls(magnet, conditions[magnet.part].magnet, volts, held=was)
                and (magnet.part not in self._turned or closed[self._turned[magnet.part]])
                for magnet, was in zip(self.layout.magnets, held, strict=True)
            ]
        )

    def lasts(self, solution: Solution, volts: Sequence[float]) -> bool:
        """Whether relays and motors of a solution of one picture would stay as they are at other volts."""
        still = solution.stills[0]
        if self.pulled(volts, still.positions, solution.conditions, solution.state.closed) != still.positions:
            return False
        valves = self._valves(solution.conditions, still.positions)
        for port, valve, amps in zip(self.layout.valves, valves, still.ports.held, strict=True):
            if valve.bound(volts[port.a] - volts[port.b]) != amps:
                return False
        for port, runs in zip(self.layout.motors, still.ports.running, strict=True):
            motor = solution.conditions[port.part].motor
            if motor is not None and runs_at(motor, volts[port.a] - volts[port.b]) != runs:
                return False
        return True

    def response(self, solution: Solution, still: Still, a: int, b: int) -> list[float]:
        """Volts by row for each amp sent in at row a and out at row b, beside what flows already."""
        factor = still.factor
        if factor is None:
            sound = self._sound_in(solution.state.closed, still.positions)
            changed = [path for path, value in enumerate(still.siemens) if value != sound.siemens[path]]
            factor, held = self._rework(sound, still.siemens, changed)
            straighten(self._kept(factor, held, solution.conditions, still.positions), still.ports)
            self._keep(still, factor)
        plan = self.layout.plan
        amps = [0.0] * (plan.size + 1)
        amps[a] += 1.0
        amps[b] -= 1.0
        return factor.volts(plan, amps)

    def paths(
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

    def _changed(
        self,
        sound: _Sound,
        state: SwitchState,
        positions: tuple[bool, ...],
        stamps: Sequence[tuple[str, Stamp]],
        changes: Sequence[tuple[int, float]],
    ) -> dict[int, float]:
        """The paths whose conductance is not that of the sound machine, and what it is: those of parts, then others."""
        found: dict[int, float] = {}
        for part, condition in stamps:
            found.update(self.paths(part, condition, state.closed, positions))
        found.update(changes)
        return {path: value for path, value in found.items() if value != sound.siemens[path]}

    def _still(
        self, sound: _Sound, positions: tuple[bool, ...], changed: Mapping[int, float], conditions: Mapping[str, Stamp]
    ) -> Still:
        siemens = sound.siemens
        if changed:
            siemens = siemens.copy()
            for path, value in changed.items():
                siemens[path] = value
        factor, held = self._rework(sound, siemens, changed)
        volts, ports = self._settle(self._kept(factor, held, conditions, positions), siemens, sound.ports)
        bounds = factor.finish(self.layout.plan, volts)
        still = Still(positions, volts, siemens, ports, bounds, None)
        self._keep(still, factor)
        return still

    def _keep(self, still: Still, factor: Factor) -> None:
        still.factor = factor
        self._worked.append(still)
        if len(self._worked) > MOST_FACTORS:
            self._worked.popleft().factor = None

    def _rework(self, sound: _Sound, siemens: list[float], changed: Iterable[int]) -> tuple[Factor, Held]:
        """The factor of other conductances, worked only in the rows of the changed paths, and what is held of it."""
        factor, layout = sound.factor.copy(), self.layout
        base = sound.base.copy()
        rows: set[int] = set()
        for path in changed:
            slot = layout.slot[path]
            if slot >= 0:
                base[slot] = layout.slot_siemens(slot, siemens)
                low = min(layout.rows[path])
                if low < layout.plan.top:
                    rows.update(layout.plan.climb[low])
        if not rows and base == sound.base:
            return factor, sound.held
        factor.rework(layout.plan, base, sorted(rows))
        return factor, factor.gathered(layout.plan, base)

    def _kept(
        self, factor: Factor, held: Held, conditions: Mapping[str, Stamp], positions: Sequence[bool]
    ) -> ReducedNetwork:
        cells = [cell for port in self.layout.batteries if (cell := conditions[port.part].cell)]
        motors = [motor for port in self.layout.motors if (motor := conditions[port.part].motor)]
        charging = any(positions[self._armature[port.part]] for port in self.layout.valves)
        return ReducedNetwork(self.layout, factor, held, cells, motors, self._valves(conditions, positions), charging)

    def _valves(self, conditions: Mapping[str, Stamp], positions: Sequence[bool]) -> list[Valve]:
        """Of each alternator its output, shut while it sleeps, and its field."""
        return [
            SHUT if k % 2 == 0 and not positions[self._armature[port.part]] else conditions[port.part].valves[k % 2]
            for k, port in enumerate(self.layout.valves)
        ]

    def _settle(self, kept: ReducedNetwork, siemens: Sequence[float], near: Ports) -> tuple[list[float], Ports]:
        could = [
            siemens[port.switch] > 0 and motor.ohms is not None and motor.amps < inf
            for port, motor in zip(self.layout.motors, kept.motors, strict=True)
        ]
        return settle(kept, near.amps, [was and may for was, may in zip(near.running, could, strict=True)])

    def _sound_in(self, closed: tuple[bool, ...], positions: tuple[bool, ...]) -> _Sound:
        key = closed, positions
        if key not in self._sound:
            layout = self.layout
            siemens = [0.0] * len(layout.rows)
            for part, condition in self.healthy.items():
                for path, value in self.paths(part, condition, closed, positions):
                    siemens[path] = value
            base = layout.base(siemens)
            factor = Factor.blank(layout.plan)
            factor.rework(layout.plan, base, range(layout.plan.top))
            held = factor.gathered(layout.plan, base)
            near = Ports([0.0] * len(layout.batteries), [True] * len(layout.motors), [], chord=False)
            _, ports = self._settle(self._kept(factor, held, self.healthy, positions), siemens, near)
            self._sound[key] = _Sound(siemens, base, factor, held, ports)
        return self._sound[key]


def _pulls(magnet: Magnetic, sort: Magnet | None, volts: Sequence[float], *, held: bool) -> bool:
    """Whether a magnet is in after a sweep: it needs `pull` to come in and keeps in down to `hold`."""
    if sort is None:
        return False
    force = 0.0
    for (a, b), weight in zip(magnet.windings, sort.weights, strict=True):
        force += (volts[a] - volts[b]) * weight
    return abs(force) >= (sort.hold if held else sort.pull)
