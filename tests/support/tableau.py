"""The same elements solved another way: a sparse tableau of Kirchhoff's and Ohm's laws, as one dense numpy matrix.

Unknowns are the volts of every point and the amps of every element, so small ohms and tiny leaks are never added.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from support.elements import Elements

LEAK = 1e-10


def solve(found: Elements, points: Iterable[str], reference: str = "battery_negative") -> dict[str, float]:
    """Volts of every point, with the battery and motor curves met to a billionth."""
    names = [point for point in sorted(points) if point != reference]
    running = [False] * len(found.motors)
    while True:
        volts = _batteries(found, names, running, reference)
        turned = [
            runs or volts[m.a] - volts[m.b] >= m.amps * m.ohms for m, runs in zip(found.motors, running, strict=True)
        ]
        if turned == running:
            return volts
        running = turned


def _batteries(found: Elements, names: Sequence[str], running: Sequence[bool], reference: str) -> dict[str, float]:
    """Newton's rule for a loss of 0.35 V * I / (|I| + 40 A), on the amps of the batteries."""
    amps = np.full(len(found.batteries), 100.0)
    for _ in range(100):
        slope = 0.35 * 40 / (np.abs(amps) + 40) ** 2
        lost = 0.35 * amps / (np.abs(amps) + 40)
        lines = [
            (b.a, b.b, b.volts - lost[k] + slope[k] * amps[k], b.ohms + slope[k]) for k, b in enumerate(found.batteries)
        ]
        volts, new = _tableau(found, lines, names, running, reference)
        if np.all(np.abs(new - amps) <= 1e-9 * (1 + np.abs(new))):
            return volts
        amps = new
    raise AssertionError("the tableau did not settle")


def _tableau(
    found: Elements,
    lines: Sequence[tuple[str, str, float, float]],
    names: Sequence[str],
    running: Sequence[bool],
    reference: str,
) -> tuple[dict[str, float], np.ndarray]:
    branches = [(a, b, emf, ohms) for a, b, emf, ohms in lines]
    branches += [(r.b, r.a, 0.0, r.ohms) for r in found.resistors]
    branches += [(m.b, m.a, 0.0, m.ohms) for m, runs in zip(found.motors, running, strict=True) if not runs]
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
    answer = np.linalg.solve(matrix, right)
    return {**dict(zip(names, answer[:n].tolist(), strict=True)), reference: 0.0}, answer[n : n + len(lines)]
