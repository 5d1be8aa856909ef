"""The same elements solved another way: a sparse tableau of Kirchhoff's and Ohm's laws, as one dense numpy matrix.

Unknowns are the volts of every point and the amps of every element, so small ohms and tiny leaks are never added.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from support.elements import Elements, Valve

LEAK = 1e-10


def solve(found: Elements, points: Iterable[str], reference: str = "battery_negative") -> dict[str, float]:
    """Volts of every point, with the battery and motor curves met to a billionth."""
    names = [point for point in sorted(points) if point != reference]
    running = [False] * len(found.motors)
    bound: list[float | None] = [None] * len(found.valves)
    for _ in range(20):
        volts = _batteries(found, names, running, bound, reference)
        turned = [
            runs or volts[m.a] - volts[m.b] >= m.amps * m.ohms for m, runs in zip(found.motors, running, strict=True)
        ]
        held = [_held(valve, volts) for valve in found.valves]
        if turned == running and held == bound:
            return volts
        running, bound = turned, held
    raise AssertionError("motors and valves did not settle")


def _held(valve: Valve, volts: dict[str, float]) -> float | None:
    """The amps a valve is held to at these volts; None where it follows its line."""
    amps = (valve.volts - volts[valve.a] + volts[valve.b]) / valve.ohms
    return None if valve.least < amps < valve.most else min(max(amps, valve.least), valve.most)


def _batteries(
    found: Elements, names: Sequence[str], running: Sequence[bool], bound: Sequence[float | None], reference: str
) -> dict[str, float]:
    """Newton's rule on the amps of the batteries: a loss of 0.35 V * I / (|I| + 40 A), or the rise while charged."""
    amps = np.full(len(found.batteries), -10.0 if found.charging else 100.0)
    for step in range(400):
        rises = found.charging & (amps < 0)
        most, half = np.where(rises, 4.0, 0.35), np.where(rises, 25.0, 40.0)
        slope = most * half / (np.abs(amps) + half) ** 2
        lost = most * amps / (np.abs(amps) + half)
        if step >= 12:  # tangents may swing for ever from one side of rest to the other; chords do not
            slope = most / (np.abs(amps) + half)
        lines = [
            (b.a, b.b, b.volts - lost[k] + slope[k] * amps[k], b.ohms + slope[k]) for k, b in enumerate(found.batteries)
        ]
        volts, new = _tableau(found, lines, names, running, bound, reference=reference)
        if np.all(np.abs(new - amps) <= (1e-9 if step < 12 else 1e-7) * (1 + np.abs(new))):
            return volts
        amps = new
    raise AssertionError("the tableau did not settle")


def _tableau(
    found: Elements,
    lines: Sequence[tuple[str, str, float, float]],
    names: Sequence[str],
    running: Sequence[bool],
    bound: Sequence[float | None],
    *,
    reference: str,
) -> tuple[dict[str, float], np.ndarray]:
    branches = [(a, b, emf, ohms) for a, b, emf, ohms in lines]
    branches += [(r.b, r.a, 0.0, r.ohms) for r in found.resistors]
    branches += [(m.b, m.a, 0.0, m.ohms) for m, runs in zip(found.motors, running, strict=True) if not runs]
    branches += [(v.a, v.b, v.volts, v.ohms) for v, held in zip(found.valves, bound, strict=True) if held is None]
    place = {name: k for k, name in enumerate(names)}
    n, m = len(names), len(branches)
    matrix = np.zeros((n + m, n + m))
    right = np.zeros(n + m)
    matrix[np.arange(n), np.arange(n)] = -LEAK
    for k, (a, b, emf, ohms) in enumerate(branches):  # amps run from b through the element to a
        for name, sign in ((a, 1.0), (b, -1.0)):
            if name in place:
                matrix[place[name], n + k] += sign
                matrix[n + k, place[name]] += sign
        matrix[n + k, n + k] = ohms
        right[n + k] = emf
    for motor, runs in zip(found.motors, running, strict=True):
        for name, sign in ((motor.a, 1.0), (motor.b, -1.0)):
            if runs and name in place:
                right[place[name]] += sign * motor.amps
    for valve, held in zip(found.valves, bound, strict=True):
        for name, sign in ((valve.a, -1.0), (valve.b, 1.0)):
            if held is not None and name in place:
                right[place[name]] += sign * held
    answer = np.linalg.solve(matrix, right)
    return {**dict(zip(names, answer[:n].tolist(), strict=True)), reference: 0.0}, answer[n : n + len(lines)]
