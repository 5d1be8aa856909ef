"""What a meter, a lamp, an ear or an eye gets from a solved machine."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from coldiron.book.checks import OPEN_LINE, Reads
from coldiron.circuits.layout import Layout, SwitchState
from coldiron.circuits.machine import Machine
from coldiron.circuits.still import Solution, Still
from coldiron.circuits.trial import NOTHING, MachineTrial

METER_OHMS = 10e6
"""A digital multimeter on its voltage ranges: common practice."""

LAMP_OHMS = {12: 7.0, 24: 28.0}
"""A 21 W test lamp, hot: volts squared over watts."""

TEST_AMPS = 1e-3
"""What an ohmmeter sends through what it measures: common practice, the low ranges."""

LOADED_FROM = 100.0
"""Source resistance in ohms from which the meter's own load is worked out: below, it takes 1 part in 100 000."""


Reader = Callable[[MachineTrial, Solution], float]
"""Takes a reading of a trial from its solution in the state the reading is taken in."""


def read(reads: Reads, trial: MachineTrial, state: SwitchState) -> float:
    """What a check reads, in V, A or ohms; lamps and glow as a share of nominal volts, click and turn from 0 to 1.

    Where a relay chatters, a meter shows the mean, a lamp glows at the mean, and a starter does not turn.

    Raises:
        ValueError: the reading is one for eyes, which no circuit decides.
    """
    return reader(reads, trial.bench.layout)(trial, trial.solution(state))


def reader(reads: Reads, layout: Layout) -> Reader:
    """What `read` does, with all that depends on the reading alone worked out beforehand.

    Raises:
        ValueError: the reading is one for eyes, or of a place the machine lacks.
    """
    machine = layout.machine
    if reads.quantity == "eye":
        raise ValueError("what eyes see is not solved")
    if reads.quantity == "lamp":
        pair = _point(machine, reads.a), _point(machine, reads.b)
        if pair not in layout.lamp:
            return _lamp_anywhere(layout.row(pair[0]), layout.row(pair[1]), LAMP_OHMS[machine.volts], machine.volts)
        return _lamp_reader(layout.lamp[pair], 1 / LAMP_OHMS[machine.volts], machine.volts)
    if reads.quantity in ("volts", "ohms"):
        red, black = (layout.row(_point(machine, name)) for name in (reads.a, reads.b))
        return _meter_reader(red, black) if reads.quantity == "volts" else _ohm_reader(red, black)
    if reads.quantity == "amps":
        return lambda _, solution: _mean([amps_through(solution, still, reads.part) for still in solution.stills])
    if reads.quantity == "glow":
        a, b = (layout.row(machine.parts[reads.part].joins[end]) for end in machine.ends(reads.part)[:2])
        return _glow_reader(reads.part, a, b, machine.volts)
    return lambda _, solution: _moved(solution, reads)


def _lamp_reader(path: int, siemens: float, nominal: int) -> Reader:
    return lambda trial, solution: trial.lamp_volts(solution.state, path, siemens) / nominal


def _lamp_anywhere(a: int, b: int, ohms: float, nominal: int) -> Reader:
    """A lamp between points where no check holds one: what the source resistance leaves it, relays held as they are."""

    def lit(trial: MachineTrial, solution: Solution) -> float:
        found = []
        for still in solution.stills:
            over = abs(still.volts[a] - still.volts[b])
            found.append(over / (1 + _source_ohms(trial, solution, still, a, b) / ohms) if over >= NOTHING else 0.0)
        return _mean(found) / nominal

    return lit


def _meter_reader(red: int, black: int) -> Reader:
    """Volts with the meter's own load: a network of source and source resistance, so exact."""

    def shown(trial: MachineTrial, solution: Solution) -> float:
        found = []
        for still in solution.stills:
            difference = still.volts[red] - still.volts[black]
            if 2 * (still.bounds[red] + still.bounds[black]) >= LOADED_FROM and abs(difference) >= NOTHING:
                difference /= 1 + _source_ohms(trial, solution, still, red, black) / METER_OHMS
            found.append(difference)
        return _mean(found)

    return shown


def _ohm_reader(red: int, black: int) -> Reader:
    """What an ohmmeter makes of the volts it finds, its own and any others that were there."""

    def shown(trial: MachineTrial, solution: Solution) -> float:
        found = []
        for still in solution.stills:
            ohms = (still.volts[red] - still.volts[black]) / TEST_AMPS
            ohms += _source_ohms(trial, solution, still, red, black)
            found.append(inf if abs(ohms) > OPEN_LINE else ohms)
        return _mean(found)

    return shown


def _glow_reader(part: str, a: int, b: int, nominal: int) -> Reader:
    """Volts over the lamp itself whatever their sign: a lamp does not care."""

    def seen(_: MachineTrial, solution: Solution) -> float:
        over = _mean([abs(still.volts[a] - still.volts[b]) for still in solution.stills])
        return over * solution.conditions[part].own / nominal

    return seen


def amps_through(solution: Solution, still: Still, part: str) -> float:
    """Amps through a part from its first end to its second; out of the plus post of a battery.

    Of a relay and a starter it is the current of the contact, of an alternator what it gives.
    """
    layout = solution.layout
    for number, port in enumerate(layout.valves):
        if port.part == part:
            valve, held = solution.conditions[part].valves[0], still.ports.held[number]
            return (valve.volts - still.volts[port.a] + still.volts[port.b]) / valve.ohms if held is None else held
    for number, port in enumerate(layout.batteries):
        if port.part == part:
            return still.ports.amps[number] if _alive(solution, part) else 0.0
    path = layout.path_of[part] + len(solution.conditions[part].siemens) - 1
    a, b = layout.rows[path]
    return (still.volts[a] - still.volts[b]) * still.siemens[path]


def _alive(solution: Solution, part: str) -> bool:
    cell = solution.conditions[part].cell
    return cell is not None and cell.alive


def _point(machine: Machine, name: str) -> str:
    point = machine.point(name)
    if point is None:
        raise ValueError(f"the machine has no point {name}")
    return point


def _mean(values: list[float]) -> float:
    return values[0] if len(values) == 1 else sum(values) / len(values)


def _source_ohms(trial: MachineTrial, solution: Solution, still: Still, a: int, b: int) -> float:
    """Volts from a to b for each amp sent in at a and out at b."""
    response = trial.bench.solver.response(solution, still, a, b)
    return response[a] - response[b]


def _moved(solution: Solution, reads: Reads) -> float:
    """The click of a relay or starter, or how fast the starter turns the engine as a share of full cranking speed."""
    position = solution.position(reads.part)
    condition = solution.conditions[reads.part]
    if reads.quantity == "click":
        stuck = condition.magnet is not None and condition.magnet.stuck
        return 0.0 if stuck else position
    motor = condition.motor
    if motor is None or motor.ohms is None or not motor.turns or len(solution.stills) > 1:
        return 0.0
    number = next(k for k, port in enumerate(solution.layout.motors) if port.part == reads.part)
    port, still = solution.layout.motors[number], solution.stills[0]
    back = still.volts[port.a] - still.volts[port.b] - motor.amps * motor.ohms
    return max(0.0, back / motor.healthy_back) if still.ports.running[number] else 0.0
