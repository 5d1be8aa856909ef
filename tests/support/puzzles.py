"""Made-up puzzles for the planner, in families, and what they cost at best, found in a way of its own.

Families, for n faults; all costs are log-normal, all faults can be told apart:

- random: n + 2 tests, each positive under a fault with probability .4;
- sparse: 8 tests positive with probability .2, and a single check of each fault;
- chain: a series path with a probe behind each part but the last, and a single check of each part;
- tree: blocks of three with a test of each block, probes inside it, and a single check of each fault.
"""

from __future__ import annotations

from math import exp
from random import Random

import numpy as np
import numpy.typing as npt

from coldiron.planner.planner import Test
from support.fault_tables import seeded

FAMILIES = ("random", "sparse", "chain", "tree")

Puzzle = tuple[list[float], list[Test]]
"""Probability of each fault, and the tests."""


def puzzle(seed: int, faults: int, family: str) -> Puzzle:
    """One of a family, the same for the same seed."""
    rng = seeded(seed)
    drawn = _draw(rng, faults, family)
    while family == "random" and len(set(zip(*(row for _, row in drawn), strict=True))) < faults:
        drawn = _draw(rng, faults, family)
    weights = [exp(rng.gauss(0, 0.5)) / (k + 1) for k in range(faults)]
    rng.shuffle(weights)
    whole = sum(weights)
    return [w / whole for w in weights], [Test(f"t{k}", cost, row) for k, (cost, row) in enumerate(drawn)]


def _draw(rng: Random, faults: int, family: str) -> list[tuple[float, list[int]]]:
    """The tests of a family: cost, and what they show under each fault."""

    def cost(mean: float, spread: float) -> float:
        return exp(rng.gauss(mean, spread))

    def single(mean: float, spread: float) -> list[tuple[float, list[int]]]:
        return [(cost(mean, spread), [int(i == k) for i in range(faults)]) for k in range(faults)]

    if family == "random":
        return [(cost(0, 0.7), [int(rng.random() < 0.4) for _ in range(faults)]) for _ in range(faults + 2)]
    if family == "sparse":
        return [(cost(0, 0.5), [int(rng.random() < 0.2) for _ in range(faults)]) for _ in range(8)] + single(0.4, 0.7)
    if family == "chain":
        return [(cost(0, 0.6), [int(i <= j) for i in range(faults)]) for j in range(faults - 1)] + single(0.7, 0.8)
    drawn = single(0.8, 0.8)
    for block in range(0, faults, 3):
        inside = range(block, min(block + 3, faults))
        drawn.append((cost(0, 0.5), [int(i in inside) for i in range(faults)]))
        drawn += [(cost(0.3, 0.6), [int(block <= i <= j) for i in range(faults)]) for j in inside[:-1]]
    return drawn


def plain_optimum(chances: list[float], tests: list[Test]) -> float:
    """Least expected cost by trying every test on every set of faults, the small sets first, without any bound.

    It shares nothing with the planner. 20 faults are a million sets.
    """
    count = len(chances)
    masks = np.arange(1 << count)
    weight = np.zeros(1 << count)
    sizes = np.zeros(1 << count, dtype=np.int8)
    for i, chance in enumerate(chances):
        present = (masks >> i & 1).astype(bool)
        weight[present] += chance
        sizes[present] += 1
    best = np.zeros(1 << count)
    hits = [(test.cost, sum(1 << i for i, p in enumerate(test.positive) if p)) for test in tests]
    for size in range(2, count + 1):
        layer = masks[sizes == size]
        best[layer] = _layer(layer, weight[layer], best, hits)
    return float(best[-1] / weight[-1])


def _layer(
    layer: npt.NDArray[np.int64],
    weight: npt.NDArray[np.float64],
    best: npt.NDArray[np.float64],
    hits: list[tuple[float, int]],
) -> npt.NDArray[np.float64]:
    """What the sets of one size cost (times their probability); 0 where no test parts them."""
    least = np.full(len(layer), np.inf)
    for cost, hit in hits:
        inside = layer & hit
        outside = layer ^ inside
        value = cost * weight + best[inside] + best[outside]
        value[(inside == 0) | (outside == 0)] = np.inf
        np.minimum(least, value, out=least)
    return np.where(np.isinf(least), 0.0, least)
