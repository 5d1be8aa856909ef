"""The odds equal those of a Bayesian network, written from the definition of the model and solved by another program.

The network is built here with pgmpy and solved by its variable elimination. Each random book has cells drawn for every
set of faults by itself (so that faults mask each other), cause and victim, repairs that may fail or disturb something,
faults that come and go, cells nobody knows, and history, loose and declared; all sets are enumerated.
"""

from __future__ import annotations

import warnings
from itertools import product
from math import prod
from random import Random
from typing import Any

import pytest

from coldiron.choice.judge import Judge
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.inference.limits import Limits
from coldiron.ruling.directives import Shifted, combined
from support.fault_tables import CellTable, random_cells, random_model, seeded, subsets

NO_YES = (False, True)


class Network:
    """A pgmpy network, grown node by node."""

    def __init__(self) -> None:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", FutureWarning)  # pgmpy warns of its own modules while it is imported
            from pgmpy.factors.discrete import TabularCPD
            from pgmpy.inference import VariableElimination
            from pgmpy.models import DiscreteBayesianNetwork
        self._cpd = TabularCPD
        self._solve = VariableElimination
        self._network = DiscreteBayesianNetwork()
        self._sizes: dict[str, int] = {}

    def add(self, name: str, size: int, parents: list[str], column: Any) -> None:
        """Add a node; `column(*states of the parents)` gives the chances of its states."""
        self._network.add_node(name)
        self._network.add_edges_from((parent, name) for parent in parents)
        sizes = [self._sizes[parent] for parent in parents]
        columns = [column(*states) for states in product(*(range(n) for n in sizes))]
        values = [[chances[state] for chances in columns] for state in range(size)]
        self._network.add_cpds(self._cpd(name, size, values, parents or None, sizes or None))
        self._sizes[name] = size

    def joint(self, names: list[str], evidence: dict[str, int]) -> dict[tuple[int, ...], float]:
        """Joint probability of the states of some nodes, given those of others."""
        assert self._network.check_model()
        found = self._solve(self._network).query(names, evidence=evidence, show_progress=False)
        order = [found.variables.index(name) for name in names]
        values = found.values
        return {
            states: float(values[tuple(states[order.index(i)] for i in range(len(names)))])
            for states in product(*(range(self._sizes[name]) for name in names))
        }


def root_sets(model: FaultModel, odds: dict[str, float]) -> list[tuple[frozenset[str] | None, float]]:
    """Sets of faults that came by themselves, with their prior; None for a fault that is not in the book."""
    sets = [s for s in subsets(odds) if 1 <= len(s) <= len(model.sizes)]
    weight = {s: prod(odds[name] for name in s) for s in sets}
    used = model.sizes[: len(odds)]
    found: list[tuple[frozenset[str] | None, float]] = [(None, model.unknown)]
    for s in sets:
        alike = sum(weight[other] for other in sets if len(other) == len(s))
        found.append((s, (1 - model.unknown) * used[len(s) - 1] / sum(used) * weight[s] / alike))
    return found


def moved(fault: str, history: list[Shifted]) -> float:
    """What history makes of the odds of a fault: ten either way in all, or what an answer declares, 100 at the most."""
    factor, bound = 1.0, 10.0
    for far in (False, True):
        told = [one for one in history if one.fault == fault and (one.most > 10) == far]
        bound = min(100, max([bound, *(one.most for one in told)]))
        factor = min(bound, max(1 / bound, factor * prod(one.factor for one in told)))
    return factor


def network_of(
    model: FaultModel, table: CellTable, evidence: Evidence, history: list[Shifted]
) -> tuple[Network, dict[str, int]]:
    """The network of a job and the states seen in it."""
    names = sorted(model.odds)
    odds = {name: model.odds[name] * moved(name, history) for name in names}
    brings = {name: {link.cause: link.chance for link in model.links if link.victim == name} for name in names}
    network = Network()
    roots = root_sets(model, odds)
    network.add("roots", len(roots), [], lambda: [chance for _, chance in roots])
    network.add("unknown", 2, ["roots"], lambda r: [0, 1] if roots[r][0] is None else [1, 0])
    for name in names:  # causes come before victims in the order of these names
        causes = sorted(brings[name])

        def struck(r: int, *present: int, name: str = name, causes: list[str] = causes) -> list[float]:
            by_itself = name in (roots[r][0] or ())
            spared = 0.0 if by_itself else prod(1 - brings[name][c] for c, p in zip(causes, present, strict=True) if p)
            return [spared, 1 - spared]

        network.add(f"{name} 0", 2, ["roots", *(f"{cause} 0" for cause in causes)], struck)
    for epoch, repair in enumerate(evidence.repairs):
        add_repair(network, model, brings, epoch, repair)
    seen = add_findings(network, model, table, evidence, odds)
    return network, seen


def add_repair(
    network: Network, model: FaultModel, brings: dict[str, dict[str, float]], epoch: int, repair: frozenset[str]
) -> None:
    """What is present after a repair: mended, causes before victims, and then what the work disturbed."""
    near = {other for name in repair for other in model.neighbours.get(name, ())} - repair
    for name in sorted(model.odds):
        causes = sorted(brings[name])

        def mended(before: int, *present: int, name: str = name, causes: list[str] = causes) -> list[float]:
            if not before or name not in repair:
                return [1 - before, before]
            back = 1 - prod(1 - brings[name][c] for c, p in zip(causes, present, strict=True) if p)
            stays = model.repair_fails + (1 - model.repair_fails) * back
            return [1 - stays, stays]

        def disturbed(before: int, name: str = name) -> list[float]:
            chance = 1.0 if before else model.disturbs if name in near else 0.0
            return [1 - chance, chance]

        network.add(f"{name} mended {epoch}", 2, [f"{name} {epoch}", *(f"{c} mended {epoch}" for c in causes)], mended)
        network.add(f"{name} {epoch + 1}", 2, [f"{name} mended {epoch}"], disturbed)


def add_findings(
    network: Network, model: FaultModel, table: CellTable, evidence: Evidence, odds: dict[str, float]
) -> dict[str, int]:
    """The checks read in each epoch; whether a fault shows is drawn once an epoch."""
    names = sorted(model.odds)
    for epoch in range(len(evidence.repairs) + 1):
        for name in names:
            q = model.shows_now.get(name, 1.0)
            network.add(f"{name} shows {epoch}", 2, [f"{name} {epoch}"], lambda p, q=q: [1 - q, q] if p else [1.0, 0.0])
    seen: dict[str, int] = {}
    for reading in evidence.readings:
        cells = table.cells[reading.check]

        def found(unknown: int, *shown: int, cells: Any = cells) -> list[float]:
            count = len(next(iter(cells.values())))
            if unknown:
                flat = model.unknown_flat
                sound = cells[frozenset()]
                return [flat / count + (1 - flat) * chance for chance in sound]
            row = cells[frozenset(name for name, shows in zip(names, shown, strict=True) if shows)]
            if None not in row:
                return list(row)
            known = [(odds[n], cells[frozenset({n})]) for n in names if None not in cells[frozenset({n})]]
            total = sum(weight for weight, _ in known)
            return [sum(weight * one[k] for weight, one in known) / total for k in range(count)]

        node = f"{reading.check} {reading.epoch}"
        network.add(
            node,
            len(next(iter(cells.values()))),
            ["unknown", *(f"{name} shows {reading.epoch}" for name in names)],
            found,
        )
        if reading.finding is not None:
            seen[node] = reading.finding
    return seen


def random_history(rng: Random, names: list[str]) -> list[Shifted]:
    """What is told of some faults: up to three topics each, loose or declared, one beyond what any book may declare."""
    return [
        Shifted(name, f"topic {n}", rng.choice([0.02, 0.5, 3.0, 40.0]), "asked", rng.choice([10.0, 10.0, 40.0, 400.0]))
        for name in names
        if rng.random() < 0.6
        for n in range(rng.randint(1, 3))
    ]


def random_job(rng: Random, model: FaultModel, table: CellTable, epochs: int, history: list[Shifted]) -> Evidence:
    """Findings at random, some not sure, with repairs between."""
    names = sorted(model.odds)
    readings = [
        Reading(check, None if rng.random() < 0.15 else rng.randrange(len(cells[frozenset()])), epoch)
        for epoch in range(epochs)
        for check, cells in table.cells.items()
        if rng.random() < 0.8
    ]
    rng.shuffle(readings)
    repairs = tuple(frozenset(rng.sample(names, rng.randint(1, 2))) for _ in range(epochs - 1))
    return Evidence(tuple(readings), repairs, combined(history))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_the_odds_are_those_of_the_network(seed: int) -> None:
    """Every set, every fault and the unknown fault have the network's probability to 1e-9."""
    rng = seeded(seed)
    model = random_model(rng, 3 + seed % 2)
    table = random_cells(rng, model.odds, checks=3, gaps=0.2)
    names = sorted(model.odds)
    history = random_history(rng, names)
    evidence = random_job(rng, model, table, epochs=1 + seed % 3, history=history)
    last = len(evidence.repairs)

    belief = Judge(model, table, Limits(largest=len(names))).belief(evidence)
    network, seen = network_of(model, table, evidence, history)
    joint = network.joint(["unknown", *(f"{name} {last}" for name in names)], seen)

    sets = dict(belief.sets)
    for present in product((0, 1), repeat=len(names)):
        faults = tuple(name for name, there in zip(names, present, strict=True) if there)
        assert sets.get(faults, 0.0) == pytest.approx(joint[(0, *present)], abs=1e-9)
    unknown = sum(chance for states, chance in joint.items() if states[0])
    assert belief.unknown == pytest.approx(unknown, abs=1e-9)
    for number, name in enumerate(names):
        alone = sum(chance for states, chance in joint.items() if not states[0] and states[1 + number])
        assert belief.chance(name) == pytest.approx(alone, abs=1e-9)
