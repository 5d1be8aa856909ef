"""What a check leaves as it stands changes nothing of what it finds."""

from __future__ import annotations

import pytest

from coldiron.book.checks import Check
from coldiron.circuits import compose
from coldiron.circuits.bands import finding_of, scale
from coldiron.circuits.simulated import PERFECT, SimulatedMachine
from support.mechanic import shipped
from support.sizes import few

BOOK = shipped()

WAYS = {
    check.id.partition(".")[0]: [(name, value) for name in check.leaves for value in BOOK.settings[name].values]
    for check in BOOK.checks.values()
    if check.leaves
}
"""Every way that what a check leaves may stand."""


def found(machine: SimulatedMachine, check: Check, setting: str = "", value: str = "") -> str:
    """The finding of a perfect hand, with one setting told besides what the check asks for; `odd` if none."""
    state = {**check.state, setting: value} if setting else check.state
    bands = scale(check, machine.machine.volts, machine.machine.batteries)
    number = finding_of(bands, machine.solved(check.reads, state))
    return check.findings[number].id if number < len(check.findings) else "odd"


def with_a_short(circuit: str) -> list[SimulatedMachine]:
    """The sound machine, and one with each fault that is a short on the dead side of a link of it."""
    machine = compose(BOOK, circuit)
    dead = [BOOK.checks[name] for name in machine.checks if name.startswith("dead_side_ohms")]
    every = [SimulatedMachine(machine, [fault], 0, PERFECT, {fault: 0.5}) for fault in machine.faults]
    return [
        SimulatedMachine(machine, (), 0, PERFECT),
        *(one for one in every if any(found(one, check) == "short" for check in dead)),
    ]


@pytest.mark.parametrize("circuit", few(BOOK.circuits, 2))
def test_what_a_check_leaves_as_it_stands_changes_nothing_of_what_it_finds(circuit: str) -> None:
    """On a sound machine, and with any short behind its link: there a link that is out stays out."""
    machines = with_a_short(circuit)
    checks = [BOOK.checks[name] for name in compose(BOOK, circuit).checks if BOOK.checks[name].leaves]
    assert checks
    for machine in machines:
        for check in checks:
            for setting, value in WAYS[check.id.partition(".")[0]]:
                assert found(machine, check, setting, value) == found(machine, check), check.id


def test_a_fuse_on_the_battery_side_of_the_link_sees_the_short_through_it() -> None:
    """So the ohms behind a fuse leave no link as it stands: fed at the post clamp, it reads the dead side or not."""
    machine = SimulatedMachine(compose(BOOK, "controller_start"), ["cab_feed.chafed"], 0, PERFECT)
    check = BOOK.checks["fuse_load_ohms.controller_fuse"]
    assert found(machine, check, "main_link", "out") != found(machine, check)
    assert not check.leaves
