"""Where the points and parts of a machine stand in its drawing, by one rule.

Source at the left: the first lane begins at the negative post, goes through the battery and runs along the feed. Where
several parts leave one point, the longest run goes on and the others begin lanes of their own below, in the order in
which they leave. The return comes last: from the negative post outward, by the same rule.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from coldiron.book.machines import Part
from coldiron.circuits.machine import REFERENCE, Machine
from coldiron.record import dataclass

PASSIVE = frozenset({"wire", "joint", "switch", "fuse"})
"""What joins the return: parts that give way to current both ways, and use none of it."""

WAYS: Mapping[str, tuple[tuple[int, int, str], ...]] = {
    "battery": ((1, 0, ""),),
    "relay": ((0, 1, "coil"), (2, 3, "contact")),
    "rest_relay": ((0, 1, "coil"), (2, 3, "contact")),
    "starter": ((0, 2, "contact"), (1, 3, "coil"), (2, 3, "motor")),
    "alternator": ((0, 2, "output"), (1, 2, "field")),
}
"""The ways through a part that are drawn: its ends, and what tells one from another. Others have one."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A point in the drawing: its number counts along the lanes from 1; `returns` on the side of the return."""

    id: str
    name: str
    number: int
    returns: bool


@dataclass(frozen=True, slots=True)
class Stretch:
    """One way through a part, drawn from the point nearer to the source to the other; `way` is empty if it has one."""

    part: str
    name: str
    way: str
    a: str
    b: str

    @property
    def label(self) -> str:
        """What it is called in the drawing."""
        return f"{self.name}, {self.way}" if self.way else self.name


@dataclass(frozen=True, slots=True)
class Lane:
    """A run of stretches from one point on. The last may end at a point of another lane; without any it is a point."""

    start: str
    stretches: tuple[Stretch, ...]
    returns: bool


@dataclass(frozen=True, slots=True)
class Sketch:
    """The drawing of a machine as data.

    Attributes:
        spots: its points by id, in the order of their numbers.
        lanes: what is drawn, from the top down; those of the return last.
    """

    spots: Mapping[str, Spot]
    lanes: tuple[Lane, ...]

    def numbered(self, number: int) -> Spot | None:
        """The point with a number."""
        return next((spot for spot in self.spots.values() if spot.number == number), None)

    def way_to(self, point: str) -> tuple[Stretch, ...]:
        """The stretches from where power comes from to a point, along the lanes; none for one that is not drawn."""
        comes = {stretch.b: stretch for lane in reversed(self.lanes) for stretch in reversed(lane.stretches)}
        way: list[Stretch] = []
        while point in comes and comes[point] not in way and point != REFERENCE:
            way.append(comes[point])
            point = way[-1].a
        return tuple(reversed(way))


def sketch(machine: Machine, fitted: Collection[str] = ()) -> Sketch:
    """Lay out a machine. Aids for a test, such as a jumper cable, are drawn only where their setting is in `fitted`."""
    drawn = {id_: part for id_, part in machine.parts.items() if not _is_aid(machine, part, fitted)}
    ways = [way for id_, part in drawn.items() for way in _ways(machine, id_, part)]
    back = _joined(REFERENCE, [way for way in ways if machine.kind(way.part).acts in PASSIVE])
    behind = [way for way in ways if way.a in back and way.b in back and machine.kind(way.part).acts in PASSIVE]
    ahead = [way for way in ways if way not in behind]
    others = [point for point in machine.points if point not in back]
    lanes = [*_Tree(ahead, back).lanes([REFERENCE, *others, *sorted(back)])]
    lanes += _Tree(behind, frozenset(), returns=True).lanes([REFERENCE])
    names = machine.book.points
    ids = dict.fromkeys(point for lane in lanes for point in (lane.start, *(one.b for one in lane.stretches)))
    order = sorted(ids, key=lambda point: point in back and point != REFERENCE)  # the return comes last
    spots = {id_: Spot(id_, names[id_].name, number, id_ in back) for number, id_ in enumerate(order, 1)}
    return Sketch(spots, tuple(lanes))


def _is_aid(machine: Machine, part: Part, fitted: Collection[str]) -> bool:
    """Whether a part is fitted for a test alone: it cannot fail, and is not there as the machine is handed over."""
    settings = machine.book.settings
    off = [one.setting for one in part.closed if settings[one.setting].normal not in one.values]
    can_fail = any(fault.part == part.id for fault in machine.faults.values())
    lone = machine.kind(part.id).acts == "battery"
    told = any(settings[name].confirm for name in off)
    return not can_fail and (lone or told) and not set(off) & set(fitted)


def _ways(machine: Machine, id_: str, part: Part) -> Iterator[Stretch]:
    ends = machine.ends(id_)
    for a, b, way in WAYS.get(machine.kind(id_).acts, ((0, 1, ""),)):
        start, end = part.joins[ends[a]], part.joins[ends[b]]
        if start != end:
            yield Stretch(id_, part.name, way, start, end)


def _joined(start: str, ways: Iterable[Stretch]) -> frozenset[str]:
    """The points that some ways join to a point."""
    beside: dict[str, set[str]] = {}
    for one in ways:
        beside.setdefault(one.a, set()).add(one.b)
        beside.setdefault(one.b, set()).add(one.a)
    seen, waiting = {start}, [start]
    while waiting:
        new = beside.get(waiting.pop(), set()) - seen
        seen |= new
        waiting += sorted(new)
    return frozenset(seen)


class _Tree:
    """Ways laid out from some points on: the return either way, the others along the feed. `ends` end lanes."""

    def __init__(self, ways: Iterable[Stretch], ends: Collection[str], *, returns: bool = False) -> None:
        self._ends, self._returns = ends, returns
        self._left: list[Stretch] = list(ways)
        self._seen: set[str] = set()

    def lanes(self, sources: Iterable[str]) -> Iterator[Lane]:
        """The lanes from each source that no lane before it has come to."""
        for source in sources:
            if source not in self._seen and self._leaving(source):
                self._seen.add(source)
                yield from self._from(source)

    def _from(self, start: str) -> Iterator[Lane]:
        waiting = [start]
        while waiting:
            at = waiting[0]
            run = self._run(at)
            if not run:
                waiting.pop(0)
                continue
            yield Lane(at, tuple(run), self._returns)
            waiting += [one.b for one in run if one.b not in self._ends]

    def _run(self, at: str) -> list[Stretch]:
        """The longest way on from a point; what it takes is not drawn again."""
        run: list[Stretch] = []
        while leaving := self._leaving(at):
            best = max(leaving, key=lambda one: self._depth(one.b, frozenset({at})))
            self._left = [one for one in self._left if (one.part, one.way) != (best.part, best.way)]
            run.append(best)
            if best.b in self._seen or best.b in self._ends:
                break
            self._seen.add(best.b)
            at = best.b
        return run

    def _leaving(self, at: str) -> list[Stretch]:
        """The ways on from a point: along the feed, or against it where nothing else leads to what lies there."""
        along = [one for one in self._left if one.a == at]
        fed = set() if self._returns else {one.b for one in self._left} | self._seen | set(self._ends)
        against = [one for one in self._left if one.b == at and one.a not in fed]
        return along + [Stretch(one.part, one.name, one.way, at, one.a) for one in against]

    def _depth(self, at: str, passed: frozenset[str]) -> int:
        if at in self._ends or at in passed or at in self._seen:
            return 0
        return max((1 + self._depth(one.b, passed | {at}) for one in self._leaving(at)), default=0)
