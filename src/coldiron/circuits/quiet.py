"""Faults that change nothing but what they cut off: opened paths, and ohms added to paths, in which no current flows.

A change of resistance acts like a source of volts in the path, of its ohms times the current through it (the
compensation theorem), and no point moves by more than the volts between the ends of the change. So where the current
is that of leaks alone, and the points at its ends have a good way to the reference, the picture stays as it was; what
has no other way to the reference than over an opened path is dead. Most pairs of faults are like that in most states.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from math import inf

from coldiron.book.faults import AddsOhms, Opens
from coldiron.circuits.layout import Layout
from coldiron.circuits.ports import DIP_AMPS, DIP_VOLTS, RISE_AMPS, RISE_VOLTS
from coldiron.circuits.stamps import MAIN_PATH, paths
from coldiron.circuits.still import Solution, Still, Way

QUIET_VOLTS = 1e-5
"""Most that any point may move: a hundredth of what a meter shows."""

QUIET_OHMS = 1000.0
"""Most ohms that may be added unsolved: they change what a 10 Mohm meter shows by 1 part in 10 000."""


class Series:
    """Paths a fault opens, paths it adds ohms to, and the most ohms it adds."""

    __slots__ = ("added", "ohms", "opened")

    def __init__(self, opened: tuple[int, ...], added: tuple[int, ...], ohms: float) -> None:
        self.opened = opened
        self.added = added
        self.ohms = ohms


def series_of(layout: Layout, id_: str) -> Series | None:
    """What a fault of a machine opens and adds ohms to; None if it does anything else as well."""
    fault = layout.machine.faults[id_]
    acts = layout.machine.kind(fault.part).acts
    names = paths(acts)
    first = layout.path_of[fault.part]
    opened: list[int] = []
    added: list[int] = []
    ohms = 0.0
    for effect in fault.what.effects:
        if not isinstance(effect, Opens | AddsOhms):
            return None
        adds = effect.severe if isinstance(effect, AddsOhms) else 0.0
        at = effect.at or (MAIN_PATH.get(acts, "") if isinstance(effect, AddsOhms) else "")
        whole = not at and acts in ("relay", "rest_relay")
        found = [first + k for k, name in enumerate(names) if whole or name == at]
        if not found or adds > QUIET_OHMS:
            return None
        (added if isinstance(effect, AddsOhms) else opened).extend(found)
        ohms += adds
    return Series(tuple(opened), tuple(added), ohms)


def cut_off(solution: Solution, still: Still, series: Series) -> frozenset[int] | None:
    """The rows that are dead in a picture of a solution with a fault more; None if that has to be solved."""
    rows = solution.layout.rows
    moved = series.ohms * sum([_amps(solution, still, path) for path in series.added])
    opened = [path for path in series.opened if still.siemens[path] and rows[path][0] != rows[path][1]]
    if moved > QUIET_VOLTS:
        return None
    if not opened:
        return frozenset()
    if still.way is None:
        still.way = _way(solution, still)
    lost, ohms = _parted(solution, still, still.way, opened)
    for path in opened:
        moved += _amps(solution, still, path) * sum([ohms[row] for row in rows[path] if ohms[row] < inf])
    return None if moved > QUIET_VOLTS or _driven(solution, still, lost) else lost


def _parted(
    solution: Solution, still: Still, way: Way, opened: Sequence[int]
) -> tuple[frozenset[int], Sequence[float]]:
    """With paths opened, the rows without a way to the reference that the opened paths were joined to; ohms by row.

    A row whose best way does not begin with an opened path, and is not behind such a row, keeps its way.
    """
    ends = [row for path in opened for row in solution.layout.rows[path]]
    hanging = [row for row in ends if way.over[row] in opened]
    if not hanging and all(way.ohms[row] < inf for row in ends):
        return frozenset(), way.ohms
    siemens = [*still.siemens, *_port_siemens(solution, still)]
    for path in opened:
        siemens[path] = 0.0
    lost: set[int] = set()
    for row in ends:
        if row not in lost and (way.over[row] in opened or way.ohms[row] == inf):
            lost |= _joined(solution, row, siemens)
    if solution.layout.plan.size in lost:
        way = _way(solution, still, opened)
        lost = {row for row in lost if way.ohms[row] == inf}
    return frozenset(lost), [inf if row in lost else ohms for row, ohms in enumerate(way.ohms)]


def _joined(solution: Solution, row: int, siemens: Sequence[float]) -> set[int]:
    """All rows joined to a row; no further than the reference."""
    end = solution.layout.plan.size
    seen = {row}
    waiting = [row]
    while waiting:
        for path, other in solution.layout.beside[waiting.pop()]:
            if siemens[path] and other not in seen:
                seen.add(other)
                if other == end:
                    return seen
                waiting.append(other)
    return seen


def _amps(solution: Solution, still: Still, path: int) -> float:
    a, b = solution.layout.rows[path]
    return abs((still.volts[a] - still.volts[b]) * still.siemens[path])


def _driven(solution: Solution, still: Still, rows: frozenset[int]) -> bool:
    """Whether a battery, a running motor or a valve that gives is joined to any of the rows: they are not dead then."""
    layout = solution.layout
    for port, amps in zip(layout.valves, still.ports.held, strict=True):
        if amps != 0.0 and (port.a in rows or port.b in rows):
            return True
    for port in layout.batteries:
        cell = solution.conditions[port.part].cell
        if cell is not None and cell.alive and (port.a in rows or port.b in rows):
            return True
    return any(
        runs and (port.a in rows or port.b in rows)
        for port, runs in zip(layout.motors, still.ports.running, strict=True)
    )


def _way(solution: Solution, still: Still, opened: Sequence[int] = ()) -> Way:
    """The way of least ohms from every row to the reference, with some paths opened."""
    layout = solution.layout
    siemens = [*still.siemens, *_port_siemens(solution, still)]
    for path in opened:
        siemens[path] = 0.0
    least = [inf] * (layout.plan.size + 1)
    over = [-1] * (layout.plan.size + 1)
    least[layout.plan.size] = 0.0
    waiting = [(0.0, layout.plan.size)]
    beside = layout.beside
    while waiting:
        ohms, here = heappop(waiting)
        if ohms > least[here]:
            continue
        for path, other in beside[here]:
            if joined := siemens[path]:
                found = ohms + 1 / joined
                if found < least[other]:
                    least[other] = found
                    over[other] = path
                    heappush(waiting, (found, other))
    return Way(least, over)


def _port_siemens(solution: Solution, still: Still) -> Iterable[float]:
    """Conductance of what is bent to a small change; a running motor takes the same amps whatever its volts.

    A valve, which may be held at either end of its line, is taken for none.
    """
    bend = RISE_VOLTS / RISE_AMPS if still.ports.charging else DIP_VOLTS / DIP_AMPS
    for port in solution.layout.batteries:
        cell = solution.conditions[port.part].cell
        yield 1 / (cell.ohms + bend) if cell is not None and cell.alive else 0.0
    for port, runs in zip(solution.layout.motors, still.ports.running, strict=True):
        motor = solution.conditions[port.part].motor
        yield 1 / motor.ohms if motor is not None and motor.ohms and not runs else 0.0
    yield from [0.0] * len(solution.layout.valves)
