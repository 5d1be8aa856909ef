"""What checks promise to settle of the doubt, and what they settle, where a cause has a victim that hides it.

    python tests/bench/bench_promises.py [MACHINES] [DRAWN] [SEED]

MACHINES (4) of each of nine pairs of cause and victim, then DRAWN (2) pairs of those the book knows on each of its
circuits, by SEED (1); each hidden in a simulated machine of its own and answered truly until a repair is named. It
measures on the tool's own circuits. Prints for both, and asserts nothing:
- jobs, answers and minutes by the book until then, median and worst (a job is left after 60 answers), and the
  processor time that an answer took on average, the mechanic and his machine included;
- by how much the page promised (the share of the doubt that its words stand for): how many checks, what they
  promised and settled on average, and the share of them that moved the doubt by less than 2 in 100.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from statistics import mean, median
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.mechanic import shipped
from support.promised import PAIRS, Job, Pair, bands, drawn, worked

STILL = 0.02
"""A check that moves the doubt by less moved nothing."""


def main() -> None:
    """Measure and print."""
    machines, count, seed = (int(word) for word in [*sys.argv[1:], *"421"[len(sys.argv) - 1 :]])
    tell("pairs", ((pair, number) for pair in PAIRS for number in range(1, machines + 1)))
    tell("drawn", ((pair, seed) for circuit in sorted(shipped().circuits) for pair in drawn(circuit, count, seed)))


def tell(name: str, wanted: Iterable[tuple[Pair, int]]) -> None:
    """Work the jobs and print what came of them."""
    jobs: list[Job] = []
    spent = 0.0
    for pair, number in wanted:
        start = process_time()
        jobs.append(worked(pair, number))
        spent += process_time() - start
    if not jobs:
        return
    answers, minutes = [job.answers for job in jobs], [job.minutes for job in jobs]
    promises = [one for job in jobs for one in job.promises]
    print(  # noqa: T201
        f"{name}: {len(jobs)} jobs, {len(promises)} checks with a promise; answers median {median(answers):.0f} "
        f"worst {max(answers)}; minutes median {median(minutes):.0f} worst {max(minutes):.0f}; "
        f"{1000 * spent / sum(answers):.0f} ms an answer"
    )
    for low, high, inside in bands(promises):
        still = sum(abs(one.settled) < STILL for one in inside) / len(inside)
        print(  # noqa: T201
            f"  promised {low:.2f} to {high:.2f}: {len(inside):3d} checks, promised "
            f"{mean(one.promised for one in inside):.2f}, settled {mean(one.settled for one in inside):.2f}, "
            f"moved nothing {still:.2f}"
        )


if __name__ == "__main__":
    main()
