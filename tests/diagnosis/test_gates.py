"""Published circuits of gates: the sets that can explain what was seen are the published diagnoses.

A broken component gives any value whatever, each as likely. Sources: see tests/fixtures/gates.json.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from itertools import product
from math import comb, log2
from typing import Any

import pytest

from coldiron.choice.judge import Judge
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.inference.limits import Limits
from support.known_examples import known

GATES = known("gates")

Work = Callable[[Mapping[str, int], Mapping[str, int]], Mapping[str, int]]
"""The values of all components, from the inputs and the values that the broken ones give."""


class CircuitTable:
    """Chance of seeing exactly certain values at some components: finding 0 is that, finding 1 anything else."""

    def __init__(self, work: Work, inputs: Mapping[str, int], values: Sequence[int]) -> None:
        self._work = work
        self._inputs = inputs
        self._values = values
        self._chance = lru_cache(None)(self._count)

    def chances(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        chance = float(self._chance(check, faults))
        return (chance, 1 - chance)

    def _count(self, check: str, faults: frozenset[str]) -> float:
        wanted = {name: int(value) for name, value in (item.split("=") for item in check.split())}
        fixed = {name: value for name, value in wanted.items() if name in faults}  # each has 1 value in so many
        broken = sorted(faults - set(fixed))
        met = 0
        for given in product(self._values, repeat=len(broken)):
            found = self._work(self._inputs, {**fixed, **dict(zip(broken, given, strict=True))})
            met += all(found[name] == value for name, value in wanted.items())
        return float(met / len(self._values) ** len(faults))


def judge_of(table: CircuitTable, components: Sequence[str], prior: float) -> Judge:
    """Every component broken with the same probability by itself."""
    n = len(components)
    odds = prior / (1 - prior)
    model = FaultModel(
        odds=dict.fromkeys(components, odds),
        sizes=tuple(comb(n, size) * odds**size for size in range(1, n + 1)),
        unknown=0.0,
        floor=0.0,
    )
    return Judge(model, table, Limits(largest=n, exact=10_000))


def diagnoses(belief: Belief) -> set[frozenset[str]]:
    """The possible sets of which no part is possible."""
    possible = [frozenset(faults) for faults, chance in belief.sets if chance > 0]
    return {s for s in possible if not any(other < s for other in possible)}


def as_sets(found: list[list[str]]) -> set[frozenset[str]]:
    return {frozenset(s) for s in found}


def seen(**values: int) -> Evidence:
    return Evidence((Reading(" ".join(f"{name}={value}" for name, value in values.items()), 0),))


BOX: dict[str, Any] = GATES["polybox"]
OUTPUT = {"X": "M1", "Y": "M2", "Z": "M3"}
"""The component that gives each value one could measure."""


def box(inputs: Mapping[str, int], broken: Mapping[str, int]) -> Mapping[str, int]:
    """Three multipliers and two adders."""
    v = dict(inputs)
    v["M1"] = broken.get("M1", v["A"] * v["C"])
    v["M2"] = broken.get("M2", v["B"] * v["D"])
    v["M3"] = broken.get("M3", v["C"] * v["E"])
    v["A1"] = broken.get("A1", v["M1"] + v["M2"])
    v["A2"] = broken.get("A2", v["M2"] + v["M3"])
    return v


@pytest.fixture(name="polybox", scope="module")
def _polybox() -> Judge:
    table = CircuitTable(box, BOX["inputs"], range(BOX["values"]))
    return judge_of(table, ["A1", "A2", "M1", "M2", "M3"], BOX["prior"])


def test_polybox_diagnoses(polybox: Judge) -> None:
    """F, out of adder 1, reads 10 and should be 12; then G, out of adder 2, reads 12 as it should."""
    assert diagnoses(polybox.belief(seen(A1=10))) == as_sets(BOX["diagnoses_f_10"])
    assert diagnoses(polybox.belief(seen(A1=10, A2=12))) == as_sets(BOX["diagnoses_f_10_g_12"])


def test_polybox_chances(polybox: Judge) -> None:
    """Adder 1 and multiplier 1 share it evenly."""
    sets = dict(polybox.belief(seen(A1=10, A2=12)).sets)
    found = {name: sets[tuple(sorted(name.split()))] for name in BOX["chances"]}
    assert found == pytest.approx(BOX["chances"], abs=1e-5)


def test_polybox_best_probe(polybox: Judge) -> None:
    """Measuring X leaves .038 bits, Y and Z more than 1."""
    before = polybox.belief(seen(A1=10, A2=12)).evidence
    left = {}
    for probe in BOX["entropy_after"]:
        left[probe] = 0.0
        for value in range(BOX["values"]):
            try:
                belief = polybox.belief(seen(A1=10, A2=12, **{OUTPUT[probe]: value}))
            except ValueError:  # a value that nothing explains
                continue
            chance = 2 ** ((belief.evidence - before) / 0.6931471805599453)
            left[probe] -= chance * sum(p * log2(p) for _, p in belief.sets if p > 0)
    assert left == pytest.approx(BOX["entropy_after"], abs=2e-3)
    assert min(left, key=lambda probe: left[probe]) == BOX["best_probe"]


def test_full_adder_diagnoses() -> None:
    """In 1, 0, 1; seen sum 1, carry 0."""
    case = GATES["full_adder"]

    def adder(inputs: Mapping[str, int], broken: Mapping[str, int]) -> Mapping[str, int]:
        v = dict(inputs)
        v["X1"] = broken.get("X1", v["a"] ^ v["b"])
        v["A1"] = broken.get("A1", v["a"] & v["b"])
        v["A2"] = broken.get("A2", v["c"] & v["X1"])
        v["X2"] = broken.get("X2", v["X1"] ^ v["c"])
        v["O1"] = broken.get("O1", v["A1"] | v["A2"])
        return v

    table = CircuitTable(adder, dict(zip("abc", case["inputs"], strict=True)), (0, 1))
    judge = judge_of(table, ["X1", "X2", "A1", "A2", "O1"], 0.01)
    assert diagnoses(judge.belief(seen(X2=case["sum"], O1=case["carry"]))) == as_sets(case["diagnoses"])


@pytest.mark.parametrize("case", GATES["c17"]["cases"], ids=lambda case: f"{case['in']} gives {case['seen']}")
def test_c17_diagnoses(case: Any) -> None:
    """Six NAND gates, three patterns of inputs, every wrong pair of outputs."""
    c17 = GATES["c17"]

    def work(inputs: Mapping[str, int], broken: Mapping[str, int]) -> Mapping[str, int]:
        v = dict(inputs)
        for gate, (one, other) in c17["gates"].items():
            v[gate] = broken.get(gate, 1 - (v[str(one)] & v[str(other)]))
        return v

    table = CircuitTable(work, dict(zip(c17["inputs"], case["in"], strict=True)), (0, 1))
    judge = judge_of(table, list(c17["gates"]), 0.01)
    belief = judge.belief(seen(**dict(zip(c17["outputs"], case["seen"], strict=True))))
    assert diagnoses(belief) == as_sets(case["diagnoses"])
