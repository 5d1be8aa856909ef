"""What batteries, filaments and motors do: volts and ohms by charge, cold, wear and torque.

Sources stand beside the figures. MEM: from memory; common practice: no source.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from foreign.elements import Battery, Lamp, Starter

# Rested volts of 12 V by charge at 27 C: TM 5-3805-262-20 p. 5-142 (12.6, 12.4, 12.2, 12.0 at full to a quarter) and a
# battery supplier's table (12.65, 12.45, 12.24, 12.06, 11.89); what is below a tenth is common practice, no source.
REST = ((0.0, 10.5), (0.05, 11.4), (0.1, 11.75), (0.25, 12.03), (0.5, 12.22), (0.75, 12.43), (1.0, 12.65))
# Cranking power of a full battery at 80, 30 and 0 F: TM 5-1185; colder is drawn on.
POWER = ((-40.0, 0.15), (-17.8, 0.40), (-1.1, 0.65), (26.7, 1.0), (45.0, 1.05))
# Inner ohms by charge, as a factor: common practice, no source.
EMPTIER = ((0.0, 25.0), (0.05, 8.0), (0.1, 4.0), (0.25, 2.0), (0.5, 1.35), (0.75, 1.1), (1.0, 1.0))
# Torque an engine asks for by the temperature of its oil; 1.3 to 1.8 cold: common practice, no source.
OIL = ((-30.0, 1.9), (-18.0, 1.55), (0.0, 1.2), (20.0, 1.0), (80.0, 0.75))
# A dip of .35 V under heavy load, from the first ampere on: common practice, no source.
DIP, DIP_AMPS = 0.35, 40.0
# Volts of a cell by temperature: MEM.
PER_KELVIN = 0.0002
# Torque at standstill and what speed adds, as shares of that at cranking speed: common practice, no source.
STILL, MOVING = 0.6, 0.4


def between(table: Sequence[tuple[float, float]], x: float) -> float:
    """A figure of a table, drawn straight between its rows and level beyond them."""
    xs = [row[0] for row in table]
    k = bisect_right(xs, x)
    if k == 0 or k == len(xs):
        return table[min(k, len(xs) - 1)][1]
    (x0, y0), (x1, y1) = table[k - 1], table[k]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


class Source(NamedTuple):
    """A battery as volts and ohms, from the plus post to the minus post."""

    emf: float
    ohm: float


def source_of(battery: Battery, air_c: float) -> Source:
    """Volts and ohms of a battery in this air.

    The cold cranking amps are those at 7.2 V and -18 C of a full battery (SAE J537).
    """
    whole = battery.cells / 6
    rest = between(REST, battery.charge) * whole + PER_KELVIN * battery.cells * (air_c - 26.7)
    emf = rest * (1 - battery.lost_cells / battery.cells)
    ohm = whole * (12.6 - 7.2) / battery.cca * 0.40 / between(POWER, air_c)
    ohm *= between(EMPTIER, battery.charge) * battery.age * (1 + battery.lost_cells)
    return Source(-emf if battery.turned else emf, ohm)


def amps_of(source: Source, volts: float) -> tuple[float, float]:
    """Amps that a battery takes in at its plus post at so many volts, and siemens there."""
    push = source.emf - volts
    amps = _given(source.ohm, abs(push))
    siemens = 1 / (source.ohm + DIP * DIP_AMPS / (amps + DIP_AMPS) ** 2)
    return (-amps if push > 0 else amps), siemens


def _given(ohm: float, push: float) -> float:
    """Amps for which the ohms and the dip take so many volts: a square equation."""
    b = ohm * DIP_AMPS + DIP - push
    return (-b + math.sqrt(b * b + 4 * ohm * push * DIP_AMPS)) / (2 * ohm)


def lamp_amps(lamp: Lamp, volts: float) -> tuple[float, float]:
    """Amps and siemens of a filament: amps grow with volts to .55; cold it has a tenth of its ohms (MEM)."""
    full = lamp.watts / lamp.volts
    share = abs(volts) / lamp.volts
    if share < 0.0051:
        siemens = full / lamp.volts * 0.0051**-0.45
        return siemens * volts, siemens
    amps = full * share**0.55
    return (amps if volts > 0 else -amps), 0.55 * amps / abs(volts)


class Motor(NamedTuple):
    """A starter motor: ohms, back emf at cranking speed, and the amps its torque asks for at that speed."""

    ohm: float
    emf: float
    asks: float
    slips: bool

    def needs(self, speed: float) -> float:
        """Amps of torque at a share of cranking speed."""
        return self.asks if self.slips else self.asks * (STILL + MOVING * speed)

    def speed(self, volts: float) -> float:
        """Share of cranking speed it settles at: none while its torque is too small."""
        still, grows = (self.asks, 0.0) if self.slips else (STILL * self.asks, MOVING * self.asks)
        return max(0.0, (volts / self.ohm - still) / (self.emf / self.ohm + grows))

    def amps(self, volts: float) -> tuple[float, float]:
        """Amps and siemens once it has settled."""
        speed = self.speed(volts)
        if speed == 0.0:
            return volts / self.ohm, 1 / self.ohm
        grows = 0.0 if self.slips else MOVING * self.asks
        slope = 1 / self.ohm / (self.emf / self.ohm + grows)
        return (volts - self.emf * speed) / self.ohm, max((1 - self.emf * slope) / self.ohm, 1e-6)


def motor_of(starter: Starter, sound: Starter, oil_c: float, thin: float) -> Motor:
    """The motor of a starter as it is, and as it was when `sound`, with its engine's oil so warm.

    `thin` below 1 is an oil thinner than usual.
    """
    ohm = starter.armature_mohm / 1000
    emf = sound.crank_volts - sound.crank_amps * sound.armature_mohm / 1000
    if starter.slips:
        return Motor(ohm, emf, starter.free_amps, slips=True)
    return Motor(ohm, emf, starter.crank_amps * starter.drag * between(OIL, oil_c) * thin, slips=False)
