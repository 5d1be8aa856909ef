"""What is fitted for a test: a booster, a heavy jump cable, a button from the starter's stud to its S terminal."""

from __future__ import annotations

from foreign.elements import Any_, Battery, Resistor, Starter, Wire
from foreign.loading import points
from foreign.record import Machine


def gear(machine: Machine, name: str) -> tuple[Any_, ...]:
    """The elements of a thing fitted for a test; sizes are common practice, no source."""
    starter = next(each for each in machine.elements if isinstance(each, Starter))
    known = points(machine)
    plus = "plus_clamp" if "plus_clamp" in known else "battery_plus"
    block = "engine_block" if "engine_block" in known else starter.case
    if name == "ground_jumper":
        return (Wire(kind="wire", id="jumper", a=block, b="battery_minus", mm2=50, m=2, j=1.5),)
    if name == "remote_button":
        return (Resistor(kind="switch", id="button", a=starter.stud, b=starter.s, mohm=15),)
    return (
        Battery(
            kind="battery", id="booster", plus="lead_plus", minus="lead_minus", cca=800, ah=90, cells=machine.volts // 2
        ),
        Wire(kind="wire", id="booster_lead", a="lead_plus", b=plus, mm2=35, m=3, j=1),
        Wire(kind="wire", id="booster_return", a="lead_minus", b=block, mm2=35, m=3, j=1),
    )
