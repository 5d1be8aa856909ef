"""The network of a machine laid out once: nodes, paths, switches, magnets, batteries, motors, and the plan for them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coldiron.book.faults import Leaks
from coldiron.book.machines import Closed
from coldiron.circuits.elimination import Plan
from coldiron.circuits.machine import REFERENCE, Machine
from coldiron.circuits.stamps import path_ends, paths
from coldiron.record import dataclass

LEAK_SIEMENS = 1e-10
"""From every node to the reference, so that a part that hangs loose has a voltage: 10 gigaohm."""

KEY = "key"
"""The setting that is turned through its positions one after the other; relays keep what they did on the way."""


class SwitchState:
    """How the switches of a machine stand, and the state it was in just before (for the key: one position back).

    A layout makes each of its states once, so that they are told apart by being the same object or not.
    """

    __slots__ = ("before", "closed")

    def __init__(self, closed: tuple[bool, ...], before: SwitchState | None = None) -> None:
        self.closed = closed
        self.before = before


@dataclass(frozen=True, slots=True)
class Magnetic:
    """A part with a magnet: which path is its contact, and which rows its windings lie between, in stamp order."""

    part: str
    contact: int
    windings: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Port:
    """A battery (from plus to minus) or a motor (from stud to case) between two rows, and the slot it fills.

    `slot` is counted from the first one among the kept rows, as `Held` is. `switch` is, for a motor, the path of the
    contact that feeds it; -1 otherwise.
    """

    part: str
    a: int
    b: int
    slot: int
    switch: int = -1


class Layout:
    """Everything about a machine's network that no fault and no setting changes.

    Paths have numbers: those of the parts first, in the order of the parts, then one for every leak a fault may make
    and one for every place a test lamp is put. A path whose ends fall on the same point has slot -1 and is ignored.

    Attributes:
        machine: the machine.
        plan: order of elimination.
        path_of: number of the first path of each part.
        rows: (row, row) of each path.
        slot: slot of each path.
        paths_in: for each slot, the paths that fill it.
        leak: path of the leak that effect number k of a fault makes, by (fault id, k).
        lamp: path of a test lamp between two points, by (red point, black point).
        gates: conditions of the switches, by part.
        magnets: parts with a magnet, in order.
        batteries: battery ports; `motors`: motor ports; `valves`: of each alternator its output, then its field.
        beside: for each row its (path, other row); batteries, motors, then valves, are numbered on after the paths.
    """

    def __init__(self, machine: Machine) -> None:
        self.machine = machine
        self.gates: dict[str, tuple[Closed, ...]] = {
            id_: part.closed for id_, part in machine.parts.items() if part.closed
        }
        self._number = {point: number for number, point in enumerate(p for p in machine.points if p != REFERENCE)}
        self._number[REFERENCE] = -1
        self.path_of: dict[str, int] = {}
        self.leak: dict[tuple[str, int], int] = {}
        self.lamp: dict[tuple[str, str], int] = {}
        ends = [*self._part_paths()]
        ends += self._leaks(len(ends))
        ends += self._lamps(len(ends))
        cells, motors = self._port_ends("battery", 0, 1), self._port_ends("starter", 2, 3)
        outputs, fields = self._port_ends("alternator", 0, 2), self._port_ends("alternator", 1, 2)
        whole = [part for part in outputs if outputs[part][0] != outputs[part][1] != fields[part][0]]
        valves = [(part, ends_[part]) for part in whole for ends_ in (outputs, fields)]
        bent = [*cells.values(), *motors.values(), *(pair for _, pair in valves)]
        pairs = [*ends, *bent]
        kept = {node for pair in bent for node in pair if node >= 0}
        self.plan = Plan(len(self._number) - 1, pairs, kept)
        self.rows = [(self.plan.row[a], self.plan.row[b]) for a, b in ends]
        self.slot = [-1 if a == b else self.plan.slot(a, b) for a, b in ends]
        self.paths_in: dict[int, tuple[int, ...]] = {}
        for path, slot in enumerate(self.slot):
            self.paths_in[slot] = (*self.paths_in.get(slot, ()), path)
        self.magnets = tuple(self._magnets())
        self.batteries = tuple(self._port(part, pair) for part, pair in cells.items() if pair[0] != pair[1])
        self.motors = tuple(
            self._port(part, pair, self.path_of[part] + 2) for part, pair in motors.items() if pair[0] != pair[1]
        )
        self.valves = tuple(self._port(part, pair) for part, pair in valves)
        self.beside = self._neighbours()
        self._states: dict[tuple[tuple[bool, ...], SwitchState | None], SwitchState] = {}
        self._ground_slots = frozenset(self.plan.slots[row, self.plan.size] for row in range(self.plan.size))

    def _neighbours(self) -> list[list[tuple[int, int]]]:
        beside: list[list[tuple[int, int]]] = [[] for _ in range(self.plan.size + 1)]
        ports = [(port.a, port.b) for port in (*self.batteries, *self.motors, *self.valves)]
        for path, (a, b) in enumerate([*self.rows, *ports]):
            if a != b:
                beside[a].append((path, b))
                beside[b].append((path, a))
        return beside

    def row(self, point: str) -> int:
        """The row of a point of the machine, given by id."""
        return self.plan.row[self._number[point]]

    def base(self, siemens: list[float]) -> list[float]:
        """Conductance of each slot from that of each path, with the leak of every node."""
        base = [0.0] * len(self.plan.slots)
        for slot in self._ground_slots:
            base[slot] = LEAK_SIEMENS
        for path, slot in enumerate(self.slot):
            if slot >= 0:
                base[slot] += siemens[path]
        return base

    def slot_siemens(self, slot: int, siemens: list[float]) -> float:
        """The same for a single slot."""
        own = LEAK_SIEMENS if slot in self._ground_slots else 0.0
        return own + sum([siemens[path] for path in self.paths_in[slot]])

    def state(self, settings: Mapping[str, str]) -> SwitchState:
        """The state in which the named settings stand so and all others are normal."""
        known = self.machine.book.settings
        stand = {id_: settings.get(id_, setting.normal) for id_, setting in known.items()}
        stand.update(settings)
        positions = known[KEY].values if KEY in known else ()
        passed = positions[1 : positions.index(stand[KEY])] if stand.get(KEY) in positions else ()
        state = self._stand({**stand, KEY: passed[0]} if passed else stand, None)
        for position in (*passed[1:], stand.get(KEY, "")):
            state = self._stand({**stand, KEY: position}, state)
        return state

    def _stand(self, stand: Mapping[str, str], before: SwitchState | None) -> SwitchState:
        closed = tuple(all(stand.get(c.setting) in c.values for c in gate) for gate in self.gates.values())
        if before is not None and before.closed == closed:
            return before
        if (closed, before) not in self._states:
            self._states[closed, before] = SwitchState(closed, before)
        return self._states[closed, before]

    def _part_paths(self) -> Iterable[tuple[int, int]]:
        count = 0
        for id_, part in self.machine.parts.items():
            acts = self.machine.kind(id_).acts
            names = self.machine.ends(id_)
            self.path_of[id_] = count
            for path in paths(acts):
                a, b = path_ends(acts, path)
                count += 1
                yield self._number[part.joins[names[a]]], self._number[part.joins[names[b]]]

    def _leaks(self, first: int) -> list[tuple[int, int]]:
        ends: list[tuple[int, int]] = []
        for id_, fault in self.machine.faults.items():
            for index, effect in enumerate(fault.what.effects):
                joins = self.machine.parts[fault.part].joins
                if not isinstance(effect, Leaks):
                    continue
                to = joins.get(effect.to) or self.machine.point(effect.to)  # another end of the part, or a point
                if to is not None:
                    self.leak[id_, index] = first + len(ends)
                    ends.append((self._number[joins[effect.end]], self._number[to]))
        return ends

    def _lamps(self, first: int) -> list[tuple[int, int]]:
        for id_ in self.machine.checks:
            reads = self.machine.book.checks[id_].reads
            a, b = self.machine.point(reads.a), self.machine.point(reads.b)
            if reads.quantity == "lamp" and a is not None and b is not None and (a, b) not in self.lamp:
                self.lamp[a, b] = first + len(self.lamp)
        return [(self._number[a], self._number[b]) for a, b in self.lamp]

    def _port_ends(self, acts: str, a: int, b: int) -> dict[str, tuple[int, int]]:
        found = {}
        for id_, part in self.machine.parts.items():
            if self.machine.kind(id_).acts == acts:
                names = self.machine.ends(id_)
                found[id_] = self._number[part.joins[names[a]]], self._number[part.joins[names[b]]]
        return found

    def _port(self, part: str, pair: tuple[int, int], switch: int = -1) -> Port:
        a, b = pair
        return Port(part, self.plan.row[a], self.plan.row[b], self.plan.slot(a, b) - self.plan.first, switch)

    def _magnets(self) -> Iterable[Magnetic]:
        for id_ in self.machine.parts:
            acts = self.machine.kind(id_).acts
            first = self.path_of[id_]
            if acts in ("relay", "rest_relay"):
                yield Magnetic(id_, first + 1, (self.rows[first],))
            elif acts == "starter":
                yield Magnetic(id_, first + 2, (self.rows[first], self.rows[first + 1]))
            elif acts == "alternator":
                joins = self.machine.parts[id_].joins
                yield Magnetic(id_, first, ((self.row(joins["exciter"]), self.row(joins["case"])),))
