"""Whether promises are honest on machines the book did not make: what was promised and settled, by tenths.

    python tests/bench/bench_deciles.py [JOBS] [FROM]

JOBS (20) foreign jobs from a seed (0) on, of the machines that rules may be tuned on, played to their end. Prints, and
asserts nothing:
- by tenths of what was promised, smallest first: the mean share of the doubt promised, the mean share settled, the
  gap between them (reach: the worst within 10 points), and how many checks; a reading that surprises raises the doubt,
  so that a share may be below none;
- checks of a job, median and worst; jobs with a row of more than three readings that left the leading fault within two
  points (reach: none without an offer).
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.deciles import kept, tenths

IN_A_ROW = 3


def main() -> None:
    """Measure and print."""
    count, start = (int(word) for word in [*sys.argv[1:], *("20", "0")[len(sys.argv) - 1 :]])
    jobs = [job for seed in range(start, start + count) if (job := kept(seed)) is not None]
    pairs = [pair for job in jobs for pair in job.pairs]
    for promised, settled, checks in tenths(pairs):
        print(  # noqa: T201
            f"promised {promised:.3f}  settled {settled:+.3f}  gap {settled - promised:+.3f}  {checks} checks"
        )
    if jobs:
        asked = [job.checks for job in jobs]
        idle = sum(job.idle > IN_A_ROW for job in jobs)
        print(  # noqa: T201
            f"{len(jobs)} jobs: checks median {median(asked):.0f} worst {max(asked)}; "
            f"{idle} with more than {IN_A_ROW} readings in a row that moved nothing"
        )


if __name__ == "__main__":
    main()
