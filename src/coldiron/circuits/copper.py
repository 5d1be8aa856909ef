"""Copper wire: ohms from the area of the conductor and its length."""

from __future__ import annotations

from itertools import pairwise

SIZES: tuple[tuple[float, float], ...] = (
    (0.5, 37.1),
    (0.75, 24.7),
    (1.0, 18.5),
    (1.5, 12.7),
    (2.5, 7.60),
    (4.0, 4.71),
    (6.0, 3.14),
    (10.0, 1.82),
    (16.0, 1.16),
    (25.0, 0.743),
    (35.0, 0.527),
    (50.0, 0.368),
    (70.0, 0.259),
    (95.0, 0.196),
    (120.0, 0.153),
)
"""Area in mm2 and the largest ohms allowed, in milliohm per meter at 20 C, by size.

The class figures of the metric cable standard for road vehicles, from memory.
"""


def milliohms_per_meter(area: float) -> float:
    """Ohms of one meter of wire, in milliohm at 20 C.

    Between the listed sizes it runs straight over 1/area; beyond them it is in proportion to 1/area.

    Args:
        area: conductor area in mm2, above 0.

    Raises:
        ValueError: the area is not above 0.
    """
    if not area > 0:
        raise ValueError(f"a wire needs an area above 0 mm2, not {area:g}")
    if area <= SIZES[0][0]:
        return SIZES[0][1] * SIZES[0][0] / area
    for (small, more), (large, less) in pairwise(SIZES):
        if area <= large:
            along = (1 / area - 1 / small) / (1 / large - 1 / small)
            return more + (less - more) * along
    return SIZES[-1][1] * SIZES[-1][0] / area


def wire_ohms(area: float, length: float, joints: float = 0.0) -> float:
    """Ohms of a run of wire with its joints: `area` in mm2, `length` in meters, `joints` in ohms."""
    return milliohms_per_meter(area) * length / 1000 + joints
