"""The solver against ngspice, a circuit simulator of its own line (Debian package `ngspice`): within 0.1 %.

Where COLDIRON_THOROUGH is set nothing may be left out: without ngspice these tests fail there.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from coldiron.circuits.trial import Bench
from support import networks
from support.elements import elements, from_rest
from support.sizes import THOROUGH, few, size
from support.spice import netlist, run

pytestmark = [
    pytest.mark.slow,
    pytest.mark.outside_program,
    pytest.mark.skipif(
        shutil.which("ngspice") is None and not THOROUGH,
        reason="ngspice is not installed (Debian package ngspice)",
    ),
]

PAIRS = -(-size(150, 400, 2000) // len(networks.MACHINES))
"""Of each machine."""


@dataclass
class Case:
    """One still picture of a machine, and which damage and key position it belongs to."""

    faults: tuple[str, ...]
    level: int
    key: str
    volts: dict[str, float]
    text: str


@pytest.fixture(scope="module", params=networks.MACHINES)
def bench(request: pytest.FixtureRequest) -> Bench:
    return Bench(networks.machine(request.param))


def pictures(bench: Bench, faults: tuple[str, ...], level: int, key: str) -> Iterator[Case]:
    machine, layout = bench.layout.machine, bench.layout
    stills = networks.trial(bench, *faults, level=level).solution(layout.state({"key": key})).stills
    for number, still in enumerate(stills):
        positions = dict(zip((magnet.part for magnet in layout.magnets), still.positions, strict=True))
        starting = networks.starting(bench, stills, number)
        found = from_rest(elements(machine, {"key": key}, faults, level, positions), starting)
        volts = {point: still.volts[layout.row(point)] for point in machine.points if point != "battery_negative"}
        yield Case(faults, level, key, volts, netlist("point", found, machine.points))


def agree(cases: list[Case], folder: Path) -> None:
    for case, plot in zip(cases, run([case.text for case in cases], folder), strict=True):
        assert plot == pytest.approx(case.volts, rel=1e-3, abs=1e-5), (case.faults, case.level, case.key)


def test_every_section_of_the_delivered_book_is_compared() -> None:
    """Each section is joined into a circuit of `networks.MACHINES`, and no fault of its parts is left out there."""
    book = networks.shipped()
    compared = [networks.machine(name) for name in networks.MACHINES if name.startswith("shipped ")]
    parts = {part for machine in compared for part in machine.parts}
    assert {part.id for section in book.sections.values() for part in section.parts} <= parts
    assert {fault for machine in compared for fault in machine.faults} <= set(book.faults)


def test_sound_machines_and_every_single_fault_agree(bench: Bench, tmp_path: Path) -> None:
    """With the key off, on and held at start, at every severity; a plain run draws the faults."""
    sets = [(), *((fault,) for fault in few(bench.layout.machine.faults, 12))]
    agree(
        [
            case
            for faults in sets
            for level in range(len(bench.trials(faults)))
            for key in networks.KEY
            for case in pictures(bench, faults, level, key)
        ],
        tmp_path,
    )


def test_seeded_pairs_of_faults_agree(bench: Bench, tmp_path: Path) -> None:
    """At a severity and a key position drawn for each pair, the key held at start in half of them."""
    draw = random.Random("pairs for ngspice")  # noqa: S311 - not for secrets
    cases: list[Case] = []
    for _ in range(PAIRS):
        pair = tuple(sorted(draw.sample(sorted(bench.layout.machine.faults), 2)))
        level = draw.randrange(len(bench.trials(pair)))
        cases += pictures(bench, pair, level, draw.choice(("off", "on", "start", "start")))
    agree(cases, tmp_path)
