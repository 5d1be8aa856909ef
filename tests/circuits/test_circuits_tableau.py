"""The solver against an independent solution: the same parts as a dense tableau of circuit laws in numpy."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest

from coldiron.circuits.still import Still
from coldiron.circuits.trial import Bench
from support import networks
from support.elements import amounts, elements, force, from_rest, thresholds
from support.sizes import few, size
from support.tableau import solve

pytestmark = pytest.mark.slow
PAIRS = size(10, 60, 200)


@pytest.fixture(scope="module", params=networks.MACHINES)
def bench(request: pytest.FixtureRequest) -> Bench:
    return Bench(networks.machine(request.param))


def agree(bench: Bench, faults: Iterable[str], level: int, key: str) -> None:
    """Every still picture of the solution has the tableau's volts, and its relays stand as these volts let them."""
    machine = bench.layout.machine
    solution = networks.trial(bench, *faults, level=level).solution(bench.layout.state({"key": key}))
    for number, still in enumerate(solution.stills):
        positions = dict(zip((m.part for m in bench.layout.magnets), still.positions, strict=True))
        starting = networks.starting(bench, solution.stills, number)
        found = from_rest(elements(machine, {"key": key}, faults, level, positions), starting)
        volts = solve(found, machine.points)
        for point in machine.points:
            got = still.volts[bench.layout.row(point)]
            assert got == pytest.approx(volts[point], rel=1e-3, abs=1e-5), (sorted(faults), level, key, point)
        after = solution.stills[(number + 1) % len(solution.stills)]
        for id_, was in positions.items():
            pull, hold = thresholds(machine, id_, amounts(machine, faults, level).get(id_, []))
            pulled = force(machine, found, id_, volts) >= (hold if was else pull)
            if starting and id_ not in starting:
                pulled = was  # what does not sit on a starting motor rides that moment out
            assert pulled == _position(bench, after, id_), (sorted(faults), level, key, id_)


def _position(bench: Bench, still: Still, id_: str) -> bool:
    return still.positions[[m.part for m in bench.layout.magnets].index(id_)]


@pytest.mark.parametrize("key", networks.KEY)
def test_the_sound_machine_agrees(bench: Bench, key: str) -> None:
    """Volts of every point within 0.1 %."""
    agree(bench, (), 1, key)


@pytest.mark.parametrize("key", networks.KEY)
def test_every_single_fault_agrees_at_every_severity(bench: Bench, key: str) -> None:
    """Volts of every point within 0.1 %, and relays stand as their coils say; a plain run draws the faults."""
    for id_ in few(bench.layout.machine.faults, 15):
        for level in range(len(bench.trials([id_]))):
            agree(bench, [id_], level, key)


@pytest.mark.parametrize("key", networks.KEY)
def test_seeded_pairs_of_faults_agree(bench: Bench, key: str) -> None:
    """As for single faults; pairs on one part included."""
    draw = random.Random(f"pairs {key}")  # noqa: S311 - not for secrets
    for _ in range(PAIRS):
        pair = draw.sample(sorted(bench.layout.machine.faults), 2)
        agree(bench, pair, draw.randrange(len(bench.trials(pair))), key)
