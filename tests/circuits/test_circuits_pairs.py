"""A set of faults reads what its own solved network reads, whatever short cut the solution came by."""

from __future__ import annotations

import itertools
import random

import pytest

from coldiron.circuits import Predictor, compose
from coldiron.circuits.bands import chances, scale
from coldiron.circuits.damage import sizes
from coldiron.circuits.layout import SwitchState
from coldiron.circuits.readings import read
from coldiron.circuits.trial import Bench, MachineTrial
from support import networks
from support.sizes import size

CIRCUIT = "direct_start"
PAIRS = 60
PORTIONS = 4


class Whole(MachineTrial):
    """A trial whose every state is solved as a whole, with no use of any other trial."""

    __slots__ = ()

    def _derived(self, state: SwitchState) -> None:
        del state


def whole(bench: Bench, faults: frozenset[str]) -> list[Whole]:
    return [Whole(bench, sized, bench.trial(sized).damage) for sized in sizes(bench.layout, faults)]


def pairs(faults: list[str]) -> list[tuple[str, ...]]:
    """Some drawn with a seed; by hand all of them."""
    every: list[tuple[str, ...]] = list(itertools.combinations(faults, 2))
    return random.Random("pairs").sample(every, size(PAIRS, 5 * PAIRS, len(every)))  # noqa: S311 - not for secrets


@pytest.mark.slow
@pytest.mark.parametrize("portion", range(PORTIONS))
def test_pairs_of_a_whole_circuit_have_the_findings_of_their_solved_networks(portion: int) -> None:
    """Chances of every finding of every check within 1 in 1000, and values within 0.1 %."""
    machine = compose(networks.shipped(), CIRCUIT)
    predictor = Predictor(machine)
    bench = Bench(machine)
    for pair in pairs(list(machine.faults))[portion::PORTIONS]:
        faults = frozenset(pair)
        trials = whole(bench, faults)
        for id_ in predictor.checks:
            check = machine.book.checks[id_]
            state = bench.layout.state(check.state)
            values = [read(check.reads, trial, state) for trial in trials]
            bands = scale(check, machine.volts, machine.batteries)
            found = predictor.chances(id_, faults)
            assert found == pytest.approx(chances(bands, values), abs=1e-3), (pair, id_)
            solved = predictor.values(id_, faults)
            if len(solved) == len(values):
                assert solved == pytest.approx(values, rel=1e-3, abs=1e-4), (pair, id_)


def test_some_pairs_need_a_solution_of_their_own_and_most_do_not() -> None:
    """Otherwise the test above would compare a thing with itself, or the short cut would be none."""
    machine = compose(networks.shipped(), CIRCUIT)
    bench = Bench(machine)
    solved = every = 0
    chosen = pairs(list(machine.faults))[:PAIRS]
    states = {bench.layout.state(machine.book.checks[id_].state) for id_ in Predictor(machine).checks}
    for pair in chosen:
        for trial in bench.trials(pair):
            for state in states:
                solved += trial._derived(state) is None
                every += 1
    assert 0.05 * every < solved < 0.75 * every
