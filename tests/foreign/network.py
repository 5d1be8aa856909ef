"""The volts of a network at DC: the straight paths once for all, then Newton's way over the few bent ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

LEAK = 1e-9
"""Siemens from every point to the reference: a gigohm of dirt, so that no point floats."""

NEAR = 1e-8
"""Volts that the last step may still move."""

MOST_STEPS = 200

Law = Callable[[float], tuple[float, float]]
"""Amps through a path from a to b at so many volts across it, and siemens there."""


class Straight(NamedTuple):
    """A path with the same siemens at all volts, and perhaps volts of its own, for amps = siemens (across - emf)."""

    name: str
    a: str
    b: str
    siemens: float
    emf: float = 0.0


class Bent(NamedTuple):
    """A path whose amps bend with the volts."""

    name: str
    a: str
    b: str
    law: Law


class UnsettledError(Exception):
    """A network for which no volts were found."""


class Net:
    """A network with its straight paths worked out; the reference is at no volts.

    Each bent path is a straight one at no volts, and what it draws beside that: Newton goes over those alone.
    """

    def __init__(
        self, points: Sequence[str], reference: str, straight: Sequence[Straight], bent: Sequence[Bent]
    ) -> None:
        self._at = {point: number for number, point in enumerate(p for p in points if p != reference)}
        self._reference, self.straight, self.bent = reference, straight, bent
        matrix = np.eye(len(self._at)) * LEAK
        for path in straight:
            _stamp(matrix, self._ends(path), path.siemens)
        self._base = np.array([path.law(0.0)[1] for path in bent])
        for curve, siemens in zip(bent, self._base, strict=True):
            _stamp(matrix, self._ends(curve), float(siemens))
        self._inverse = np.linalg.inv(matrix)
        self._across = np.zeros((len(bent), len(self._at)))
        for row, curve in enumerate(bent):
            for point, sign in ((curve.a, 1.0), (curve.b, -1.0)):
                if point in self._at:
                    self._across[row, self._at[point]] += sign
        self._answer = self._across @ self._inverse @ self._across.T
        self._sought = np.zeros(len(bent))

    def solve(self, emfs: Mapping[str, float] | None = None) -> dict[str, float]:
        """Volts by point; `emfs` are other volts of straight paths by name."""
        push = np.zeros(len(self._at))
        for path in self.straight:
            emf = emfs.get(path.name, path.emf) if emfs else path.emf
            if emf:
                for sign, number in zip((1.0, -1.0), self._ends(path), strict=True):
                    if number is not None:
                        push[number] += sign * path.siemens * emf
        beside = self._newton(self._across @ self._inverse @ push) if self.bent else np.zeros(0)
        volts = self._inverse @ (push - self._across.T @ beside)
        return {**{point: float(volts[number]) for point, number in self._at.items()}, self._reference: 0.0}

    def _newton(self, free: NDArray[np.float64]) -> NDArray[np.float64]:
        """What each bent path draws beside its straight one, `free` being the volts across them without that."""
        across = self._sought
        for step in range(MOST_STEPS):
            drawn = [path.law(float(v)) for path, v in zip(self.bent, across, strict=True)]
            beside = np.array([amps for amps, _ in drawn]) - self._base * across
            slope = np.array([siemens for _, siemens in drawn]) - self._base
            away = across - free + self._answer @ beside
            move = np.linalg.solve(np.eye(len(across)) + self._answer * slope, -away)
            across = across + move * (1.0 if step < 30 else 0.5 if step < 80 else 0.2)
            if float(np.max(np.abs(move))) < NEAR:
                self._sought = across
                drawn = [path.law(float(v)) for path, v in zip(self.bent, across, strict=True)]
                return np.array([amps for amps, _ in drawn]) - self._base * across
        raise UnsettledError(f"still moving by {float(np.max(np.abs(move))):.2g} V")

    def _ends(self, path: Straight | Bent) -> tuple[int | None, int | None]:
        return self._at.get(path.a), self._at.get(path.b)


def _stamp(matrix: NDArray[np.float64], ends: tuple[int | None, int | None], siemens: float) -> None:
    i, j = ends
    if i is not None:
        matrix[i, i] += siemens
    if j is not None:
        matrix[j, j] += siemens
    if i is not None and j is not None:
        matrix[i, j] -= siemens
        matrix[j, i] -= siemens


def amps_through(paths: Iterable[Straight | Bent], volts: Mapping[str, float]) -> dict[str, float]:
    """Amps from a to b of each path."""
    found = {}
    for path in paths:
        across = volts[path.a] - volts[path.b]
        found[path.name] = path.law(across)[0] if isinstance(path, Bent) else path.siemens * (across - path.emf)
    return found
