"""A solved machine: pictures of its network with relays held, and the solution made of them."""

from __future__ import annotations

from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout, SwitchState
from coldiron.circuits.ports import Ports
from coldiron.circuits.stamps import Stamp
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Way:
    """For every row the ohms of its best way to the reference (infinite if it has none), and the path it begins with.

    These ohms are an upper bound of the source resistance between the row and the reference.
    """

    ohms: list[float]
    over: list[int]


@dataclass(slots=True)
class Still:
    """The network with its relays held in one position, solved.

    `positions` are those of the magnets, True for pulled in, as they were held; `volts` are by row; `siemens` of every
    path. `factor` answers what a small extra current would change; it is dropped when it has not been asked for a
    while, and made again. `bounds` are upper bounds of the source resistance of each row. `way` is worked out when it
    is needed.
    """

    positions: tuple[bool, ...]
    volts: list[float]
    siemens: list[float]
    ports: Ports
    bounds: list[float]
    factor: Factor | None
    way: Way | None = None


@dataclass(slots=True)
class Solution:
    """The machine in one state: one picture, or, where a relay chatters, those it runs through over and over.

    `passed` are the pictures on the way there. `pulled` gives the position of every magnet: 0 at rest, 1 pulled in,
    0.5 chattering. `conditions` are the stamps of all parts, sound and faulty.
    """

    layout: Layout
    state: SwitchState
    stills: tuple[Still, ...]
    passed: tuple[Still, ...]
    pulled: tuple[float, ...]
    conditions: dict[str, Stamp]

    def volts(self, point: str) -> float:
        """Volts of a point to the reference, without any meter; the mean where a relay chatters."""
        row = self.layout.row(point)
        return sum(still.volts[row] for still in self.stills) / len(self.stills)

    def position(self, part: str) -> float:
        """Position of the magnet of a relay or starter: 0, 1, or 0.5 when it chatters."""
        return self.pulled[[magnet.part for magnet in self.layout.magnets].index(part)]
