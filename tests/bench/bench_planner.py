"""What the order of tests costs above the exact optimum, on seeded made-up puzzles.

    python tests/bench/bench_planner.py [SHARE] [FIRST]

SHARE of the full run (1: 300 puzzles of 12 faults in each family, 100 of 16, 25 of 20, 120 repair benches in each cell;
the default is 0.1), with seeds from FIRST on. The planner was tuned on seeds below 100,000, so FIRST is 100,000 unless
given. Nothing here passes or fails; nothing here says anything about machines or people.

- order of tests: certain tests until one fault is left (`support.puzzles`), as `plan` gives it with nothing set. The
  optimum is found by trying every test on every set of faults, with no code of the planner. The cost of an order is
  exact over all faults. `exact` is the share of puzzles in which the planner itself says that no order costs less;
  `ms` is processor time from numbers to the first test.
- test or repair: five things of which any may be wrong, eight doubtful tests, repairs with a free trial after each
  (`support.repair_benches`), as `Weighing` gives it when asked again after every test; then the same
  with the few steps that a consultation allows it. The optimum is found by working out all 6,561 states of what the
  tests showed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import mean
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.choice.verdict import STEPS, WIDTH
from coldiron.planner.planner import plan
from support.fault_tables import seeded
from support.puzzles import FAMILIES, plain_optimum, puzzle
from support.repair_benches import Bench

SIZES = ((12, 300), (16, 100), (20, 25))
"""Faults, and puzzles of each family."""

BENCHES = 120
RELIABILITIES = ((0.95, 0.99), (0.85, 0.95), (0.7, 0.9))
REPAIRS = ((0.0, "cheap"), (1.0, "middling"), (2.0, "dear"))


def main() -> None:
    """Print the tables."""
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 0.1
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 100_000
    print(f"{'faults':8}{'family':10}{'puzzles':>8}{EXCESS}{'exact':>8}{'ms: mean':>10}{'95 %':>7}{'worst':>7}")  # noqa: T201
    for faults, count in SIZES:
        for family in FAMILIES:
            orders(faults, family, range(first, first + part(count, share)))
    print(f"\n{'repairs':10}{'tests right':14}{'benches':>8}{EXCESS}   in a consultation:{EXCESS}")  # noqa: T201
    for dear, name in REPAIRS:
        for reliability in RELIABILITIES:
            repairs(dear, name, reliability, range(first, first + part(BENCHES, share)))


EXCESS = f"{'excess %: mean':>16}{'95 %':>8}{'worst':>8}"


def part(count: int, share: float) -> int:
    """So many of a full run, one at least."""
    return max(1, round(count * share))


def orders(faults: int, family: str, seeds: range) -> None:
    """One line of the first table."""
    excess, times, exact = [], [], 0
    for seed in seeds:
        chances, tests = puzzle(seed, faults, family)
        start = process_time()
        policy = plan(chances, tests)
        times.append(1e3 * (process_time() - start))
        exact += policy.exact
        excess.append(policy.expected_cost / plain_optimum(chances, tests) - 1)
    figures = f"{mean(times):10.0f}{nearly_all(times):7.0f}{max(times):7.0f}"
    print(f"{faults:<8}{family:10}{len(seeds):8}{told(excess)}{exact / len(seeds):8.0%}{figures}", flush=True)  # noqa: T201


def repairs(dear: float, name: str, reliability: tuple[float, float], seeds: range) -> None:
    """One line of the second table."""
    at_length, in_short = [], []
    for seed in seeds:
        bench = Bench(seeded(seed), things=5, tests=8, dear=dear, reliability=reliability)
        start, optimum = tuple(bench.chances), bench.plain_optimum()
        at_length.append(bench.followed(start) / optimum - 1)
        in_short.append(bench.followed(start, steps=STEPS, width=WIDTH, second=0) / optimum - 1)
    rates = f"{reliability[0]} to {reliability[1]}"
    print(f"{name:10}{rates:14}{len(seeds):8}{told(at_length)}{'':21}{told(in_short)}", flush=True)  # noqa: T201


def told(excess: Sequence[float]) -> str:
    """Mean, 95th percentile and worst, in per cent; what is left of rounding below zero is shown as zero."""
    figures: Iterator[float] = (100 * max(0.0, value) for value in (mean(excess), nearly_all(excess), max(excess)))
    return "{:16.4f}{:8.3f}{:8.3f}".format(*figures)


def nearly_all(values: Sequence[float]) -> float:
    """The value that 95 in 100 do not exceed."""
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


if __name__ == "__main__":
    main()
