"""IEC 60228, class 5, plain copper: the most ohms a conductor may have at 20 C.

Read alike in three stored copies: mycableengineering.com/knowledge-base/iec-60228-dc-resistance,
etechnik-synergie.com/technical_information/condutor-resistance/ and
uecables.com/471-power-copper-conductors-according-to-iec-60228.html. (One of them heads the table "minimum"; its own
comments put that right to maximum.)
"""

from __future__ import annotations

import pytest

from coldiron.circuits.copper import SIZES, milliohms_per_meter
from support.shop import book, machine

MOST = {
    0.5: 39.0,
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4.0: 4.95,
    6.0: 3.30,
    10.0: 1.91,
    16.0: 1.21,
    25.0: 0.780,
    35.0: 0.554,
    50.0: 0.386,
    70.0: 0.272,
    95.0: 0.206,
    120.0: 0.161,
    150.0: 0.129,
}
"""Area in mm2 and the largest ohm per km at 20 C (the same number as milliohm per meter), all read."""


@pytest.mark.parametrize(("area", "most"), MOST.items())
def test_no_wire_of_the_solver_has_more_ohms_than_the_standard_allows(area: float, most: float) -> None:
    """Road vehicle cable is held 3 to 6 % below class 5, so the solver stays just inside it at every size."""
    assert 0.94 * most <= milliohms_per_meter(area) <= 0.97 * most


def test_every_size_of_the_solver_is_one_of_the_standard() -> None:
    assert {area for area, _ in SIZES} <= set(MOST)


@pytest.mark.parametrize("circuit", ["direct_start", "start_relay", "interlocks", "coded_start", "isolator_24"])
def test_the_wires_of_the_book_come_in_sizes_of_the_standard(circuit: str) -> None:
    """A cable that cannot be bought has no place in a circuit."""
    acts = {name: kind.acts for name, kind in book().kinds.items()}
    sizes = {part.values["area"] for part in machine(circuit).parts.values() if acts[part.kind] == "wire"}
    assert sizes <= set(MOST)
