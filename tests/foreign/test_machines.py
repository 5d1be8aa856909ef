"""Every machine of a file: it loads, cranks as it says, agrees with ngspice, and its faults do what they say."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

from foreign.elements import Starter
from foreign.loading import files, load
from foreign.measuring import lowest
from foreign.network import amps_through
from foreign.paths import paths_of
from foreign.record import Fault, Machine
from foreign.running import Held
from foreign.spice import volts
from foreign.symptoms import Shown, does, show
from foreign.world import broken, healthy
from support.sizes import THOROUGH, few

NAMES = {path.stem: path for path in files()}
WORKED = few(NAMES, 4, 16)
"""Those that are solved: all of them by hand only, for each has some twenty faults."""

SEVERITIES = (0.0, 0.5, 1.0)

machine = cache(lambda name: load(NAMES[name]))


@cache
def sound(name: str) -> Shown:
    return show(healthy(machine(name)))


def battery_amps(held: Held) -> float:
    """What the batteries give, in amps: what comes back to the minus of the machine."""
    paths = [path for each in lowest(held.world) for path in paths_of(held.world, each, held.state)]
    return -sum(amps_through(paths, held.volts).values())


@pytest.mark.parametrize("name", NAMES)
def test_a_machine_is_called_what_its_file_is(name: str) -> None:
    assert machine(name).name == name


@pytest.mark.parametrize("name", WORKED)
def test_a_sound_machine_cranks_as_it_says(name: str) -> None:
    """Against the ranges of its file, whose source stands beside them."""
    shown, told = sound(name), machine(name).healthy
    assert does(shown) == "normal"
    start = shown.start.volts
    across = start["battery_plus"] - start["battery_minus"]
    assert told.crank_volts[0] <= across <= told.crank_volts[1], across
    amps = battery_amps(shown.start)
    assert told.crank_amps[0] <= amps <= told.crank_amps[1], amps
    rest = battery_amps(shown.off) * 1000
    assert told.rest_ma[0] <= rest <= told.rest_ma[1], rest
    for point, (low, high) in told.volts.items():
        assert low <= start[point] <= high, (point, start[point])


@pytest.mark.parametrize("name", WORKED)
def test_a_sound_machine_turns_in_its_coldest_and_warmest_air(name: str) -> None:
    for air in machine(name).air_c:
        assert does(show(healthy(machine(name), air))) == "normal", air


@pytest.mark.parametrize("name", WORKED)
def test_a_sound_machine_reads_as_machines_do(name: str) -> None:
    """Cranking 9.6 to 11.6 V a battery of 12 V (TM 5-3820-256-24-4: 9.6 at the starter), joints by common practice."""
    shown, size = sound(name), machine(name).volts / 12
    start = shown.start.volts
    assert 9.6 * size <= start["battery_plus"] - start["battery_minus"] <= 11.7 * size
    for starter in (each for each in shown.start.world.elements if isinstance(each, Starter)):
        assert start[starter.s] - start[starter.case] >= 8.5 * size
        assert start["battery_plus"] - start[starter.stud] <= 0.7 * size


@pytest.mark.outside_program
@pytest.mark.parametrize("name", WORKED)
def test_ngspice_comes_to_the_same(name: str, tmp_path: Path) -> None:
    """Each point within 5 mV: OFF, ON, START healthy, START with every fault at half."""
    if not shutil.which("ngspice"):
        pytest.skip("ngspice is not installed")
    shown = sound(name)
    held = [shown.off, shown.on, shown.start]
    held += [show(broken(healthy(machine(name)), [(fault, 0.5)])).start for fault in machine(name).faults]
    held = [each for each in held if not each.chatters]
    for ours, theirs in zip(held, volts(held, tmp_path), strict=True):
        apart = {point: (v, theirs[point]) for point, v in ours.volts.items() if abs(v - theirs[point]) > 0.005}
        assert not apart


CASES = [(name, fault) for name in WORKED for fault in machine(name).faults]


@pytest.mark.parametrize(("name", "fault"), CASES, ids=[f"{name}-{fault.name}" for name, fault in CASES])
def test_a_fault_does_what_it_says(name: str, fault: Fault) -> None:
    """What the solver comes to is told, and is something wrong: at three severities, in a plain run the worst."""
    found = {told_as(machine(name), fault, severity) for severity in (SEVERITIES if THOROUGH else SEVERITIES[-1:])}
    assert found <= {*fault.does, "normal"}
    assert found != {"normal"} or {"normal", "flat_later"} & set(fault.does)


def told_as(whole: Machine, fault: Fault, severity: float) -> str:
    """What a machine with a fault does."""
    return does(show(broken(healthy(whole), [(fault, severity)])))
