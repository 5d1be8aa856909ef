"""The mechanic of the tests reads machines with code of his own, and reads the same as the program."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from coldiron.book.checks import Check
from coldiron.judging.composing import setup_of
from support import mechanic
from support.imports import imported
from support.mechanic import own_machine, own_meter, shipped
from support.sizes import few, size

FOLDER = Path(mechanic.__file__).parent
HIS = ("mechanic", "hidden", "own_eyes", "own_machine", "own_meter", "own_yard", "tableau")
DRAWN = few(shipped().circuits, 6)
SETS = size(3, 10, 40)
MIDDLE = 1


@pytest.mark.parametrize("name", HIS)
def test_he_knows_the_program_only_as_anybody_may(name: str) -> None:
    """The public session, and the records that a book is made of."""
    inside = {one for one in imported(FOLDER / f"{name}.py") if one.startswith("coldiron.")}
    public = {f"coldiron.{one}" for one in ("Consultation", "Question", "load_book", "book")}
    assert {one for one in inside if one not in public and not one.startswith("coldiron.book.")} == set()


@pytest.mark.parametrize("circuit", shipped().circuits)
def test_his_machine_is_that_of_the_program(circuit: str) -> None:
    """Parts, faults, checks, what a repair mends, what brings what: read twice from the same records."""
    own, setup = own_machine(shipped(), circuit), setup_of(shipped(), circuit)
    machine = setup.machine
    assert dict(own.parts) == dict(machine.parts)
    assert list(own.faults) == list(machine.faults)
    assert own.checks == machine.checks
    assert all(own.mended_with(fault) == frozenset(machine.mended_with(fault)) for fault in own.faults)
    assert set(own.links()) == {(link.cause, link.victim, link.chance) for link in setup.table.model.links}


def alike(check: Check, mine: float, programs: float) -> bool:
    """Within 0.2 %, or a tenth of what a meter shows."""
    return mine == programs or abs(mine - programs) <= 2e-3 * max(abs(mine), abs(programs)) + max(1e-4, check.step / 10)


@pytest.mark.parametrize("circuit", DRAWN)
def test_his_readings_are_those_of_the_program(circuit: str) -> None:
    """Every solved check, with nothing, one thing or two wrong at the middle size: by a dense tableau of his own."""
    predictor, meter = setup_of(shipped(), circuit).predictor, own_meter(shipped(), circuit, MIDDLE)
    chance = random.Random(f"own {circuit}")  # noqa: S311 - no secret
    names = sorted(meter.machine.faults)
    off = []
    for faults in (frozenset[str](), *(frozenset(chance.sample(names, 1 + n % 2)) for n in range(SETS))):
        for check in (shipped().checks[name] for name in predictor.checks):
            solved = predictor.values(check.id, faults)
            own = meter.value(check.reads, check.state, faults)
            if not alike(check, own, solved[min(MIDDLE, len(solved) - 1)]):
                off.append((check.id, sorted(faults), own, solved))
    assert off == []
