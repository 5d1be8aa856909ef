"""The choice of checks at full size: its time, its minutes against other orders, and what a wrong book costs it.

    python tests/bench/bench_full.py [SHARE] [CIRCUITS] [FIRST] [FAULTS] [CHECKS]

SHARE of the whole run (1: 50 machines under a right book, 16 under each wrong one, a quarter of an hour of processor
time; more than 1 works more; the default is 0.1, one to two minutes), CIRCUITS of the shipped book by commas (the first
one; `none` for none, `all` for all), seeds from FIRST (1000) on, FAULTS and CHECKS of a machine (150, 250).
Nothing here passes or fails.

The machines are made up (`support.fault_yard`: subsystems in series, noisy checks), the faults drawn by the very odds
of the book, so the figures show what the code does with its own model, and how far it bears a book that is wrong, and
nothing about machines or people. Every order works the same machine with the same hidden faults, and a check that two
orders make gives both the same answer.

- time, of the processor: everything between an answer and the next question, which is the odds over singles, pairs and
  triples, the search for an answer that does not fit, test or repair, and the choice of the next check (reach: median
  20 ms, worst 100 ms).
- orders (`support.yard_orders`): minutes of checks and repairs until the machine works, 240 more for a machine given
  up; `more` is the mean difference to the tool on the same machines with its standard error. `tool` is as shipped,
  `gain` most information per minute until a part is .95 (.80) sure, `by part` least minutes over probability first,
  `cheapest` and `by system` two fixed orders.
- a lower bound (`support.least_minutes`): the repairs that are needed anyway, and the bits that have to be found out;
  and, which is no bound, the minutes of one who knows the faults and only has to prove them.
- twists (`support.yard_cases`): the same with a book or machine that is not what the tool expects. `worse` is what the
  tool loses by it on the same machines (on others, where two faults are hidden).
- calibration: the chance of the first suspect before each step, and of the part at each verdict, against what is true.
- the shipped book: one hidden fault in ten, simulated as in `bench_found.py`, the tool against the fixed order of the
  trade on the same machines.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from math import sqrt
from pathlib import Path
from statistics import mean, stdev

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.choice.judge import Judge
from support import found, least_minutes
from support.calibration import CONFIDENT, STEPS, Foretold, brier, confident_wrong, due, reliability
from support.mechanic import shipped
from support.yard_cases import RIGHT, TWISTS, Case, Twist
from support.yard_jobs import Job, work
from support.yard_orders import ORDERS, knowing

MACHINES, TWISTED = 50, 16
"""Machines of a whole run, under a right book and under each wrong one."""

SHARE, FIRST, FAULTS, CHECKS = 0.1, 1000, 150, 250

PART = 0.1
"""Share of the faults of a circuit of the shipped book that are hidden in it."""

Worked = dict[str, list[Job]]
"""Jobs by order, all lists of the same cases."""


def worked(twist: Twist, seeds: range, faults: int, checks: int) -> Worked:
    """All orders on the same cases; the tool comes first, with all still to be worked out, as its time is told."""
    jobs: Worked = {name: [] for name in ORDERS}
    for seed in seeds:
        case = Case(seed, twist, faults, checks)
        judge = Judge(case.model, case.table)
        for name, order in ORDERS.items():
            jobs[name].append(work(case, order, judge))
    return jobs


def main() -> None:
    """Print the tables."""
    share, circuits, first, faults, checks = arguments(sys.argv[1:])
    jobs: dict[str, Worked] = {}
    for twist in TWISTS:
        count = max(2, round(share * (MACHINES if twist is RIGHT else TWISTED)))
        jobs[twist.name] = worked(twist, range(first, first + count), faults, checks)
        if twist is RIGHT:
            show_times([second for job in jobs[twist.name]["tool"] for second in job.seconds], faults, checks)
            show_orders(jobs[twist.name])
            show_bound(jobs[twist.name])
            print(f"\n{'twist':24}{'cases':>6}{'tool':>8}{'worse':>16}{MORE}")  # noqa: T201
        show_twist(twist, jobs[twist.name], jobs[RIGHT.name]["tool"])
    print(f"\n{'tool':24}{'checks':>8}{'wrong':>8}{'given up':>10}{'first right %':>15}{CALIBRATED}")  # noqa: T201
    for name, by_order in jobs.items():
        show_tool(name, by_order["tool"])
    print(f"\n{'said, true, steps; from':24}" + "".join(f"{step:16}" for step in STEPS))  # noqa: T201
    for name, by_order in jobs.items():
        show_reliability(name, by_order["tool"])
    for circuit in circuits:
        show_shipped(circuit)


MORE = "".join(f"{name:>16}" for name in ORDERS if name != "tool")
CALIBRATED = f"{'Brier':>8}{'due':>8}{'at verdict':>12}{'due':>8}{'confident':>11}{'wrong %':>9}"


def arguments(given: Sequence[str]) -> tuple[float, list[str], int, int, int]:
    """The command line with what is usual for all that is not given."""
    share, circuits, first, faults, checks = [*given, *("", "", "", "", "")[len(given) :]]
    return (
        float(share or SHARE),
        [] if circuits == "none" else named(circuits),
        int(first or FIRST),
        int(faults or FAULTS),
        int(checks or CHECKS),
    )


def named(circuits: str) -> list[str]:
    """Circuits of the shipped book."""
    every = list(shipped().circuits)
    return every if circuits == "all" else circuits.split(",") if circuits else every[:1]


def apart(ones: Sequence[float], others: Sequence[float]) -> str:
    """Mean difference of pairs with its standard error."""
    return with_error([one - other for one, other in zip(ones, others, strict=True)])


def with_error(values: Sequence[float]) -> str:
    """A mean with its standard error."""
    error = stdev(values) / sqrt(len(values)) if len(values) > 1 else 0.0
    return f"{mean(values):+.1f} ± {error:.1f}"


def totals(jobs: Sequence[Job]) -> list[float]:
    return [job.total for job in jobs]


def show_times(times: Sequence[float], faults: int, checks: int) -> None:
    """Milliseconds from an answer to the next question."""
    ranked = sorted(times)
    middle, high, worst = (1e3 * ranked[min(len(ranked) - 1, int(share * len(ranked)))] for share in (0.5, 0.95, 1))
    print(f"{faults} faults, {checks} checks, {len(times)} questions: ", end="")  # noqa: T201
    print(f"median {middle:.1f} ms, 95 in 100 within {high:.1f} ms, worst {worst:.1f} ms")  # noqa: T201


def show_orders(jobs: Worked) -> None:
    """The orders under a right book."""
    print(f"\n{'order':12}{'cases':>6}{'minutes':>9}{'more':>16}{'checks':>8}{'wrong':>8}{'given up':>10}")  # noqa: T201
    for name, done in jobs.items():
        print(  # noqa: T201
            f"{name:12}{len(done):6}{mean(totals(done)):9.1f}{apart(totals(done), totals(jobs['tool'])):>16}"
            f"{mean(job.checks for job in done):8.1f}{mean(job.wrong for job in done):8.2f}"
            f"{sum(bool(job.left) for job in done):10}"
        )


def show_bound(jobs: Worked) -> None:
    """What no order can go below."""
    cases = [job.case for job in jobs["tool"]]
    repairs = [least_minutes.to_repair(case) for case in cases]
    finding = [least_minutes.to_find_out(case) for case in cases]
    bound = [sum(both) for both in zip(repairs, finding, strict=True)]
    used = totals(jobs["tool"])
    print(  # noqa: T201
        f"\nno order can go below {mean(bound):.1f} minutes: {mean(repairs):.1f} of repairs that are needed anyway and"
        f" {mean(finding):.1f} to find out;\nthe tool takes {apart(used, bound)} more, {mean(used) / mean(bound):.2f}"
        f" times as many; of what is not needed anyway {(mean(used) - mean(repairs)) / mean(finding):.2f} times"
    )
    proving = totals([work(case, knowing) for case in cases])
    print(  # noqa: T201
        f"who knows the faults and only proves them takes {mean(proving):.1f} minutes;"
        f" the tool {apart(used, proving)} more, {mean(used) / mean(proving):.2f} times as many"
    )


def show_twist(twist: Twist, jobs: Worked, right: Sequence[Job]) -> None:
    """One line: what the twist costs the tool, and how the other orders bear it."""
    mine = totals(jobs["tool"])
    same = not twist.faults and not twist.unlisted
    worse = apart(mine, totals(right)[: len(mine)]) if same else "-"
    more = "".join(f"{apart(totals(done), mine):>16}" for name, done in jobs.items() if name != "tool")
    print(f"{twist.name:24}{len(mine):6}{mean(mine):8.1f}{worse:>16}{more}", flush=True)  # noqa: T201


def show_tool(name: str, jobs: Sequence[Job]) -> None:
    """One line: what the tool did, and whether its chances come true."""
    told = [one for job in jobs for one in job.foretold]
    verdicts = [one for job in jobs for one in job.verdicts]
    first = [job.verdicts[0].true for job in jobs if job.verdicts]
    confident = sum(one.chance >= CONFIDENT for one in verdicts)
    print(  # noqa: T201
        f"{name:24}{mean(job.checks for job in jobs):8.1f}{mean(job.wrong for job in jobs):8.2f}"
        f"{sum(bool(job.left) for job in jobs):10}{100 * mean(first) if first else 0:15.0f}"
        f"{brier(told):8.3f}{due(told):8.3f}{brier(verdicts):12.3f}{due(verdicts):8.3f}"
        f"{confident:11}{100 * confident_wrong(verdicts):9.1f}"
    )


def show_reliability(name: str, jobs: Sequence[Job]) -> None:
    """One line: how often the first suspect was true before each step, by what was told of it, and how many steps."""
    rows = {row.least: row for row in reliability([one for job in jobs for one in job.foretold])}
    cells = [f"{row.said:.2f} {row.true:.2f} {row.count:4}" if row else "" for row in map(rows.get, STEPS)]
    print(f"{name:24}" + "".join(f"{cell:>16}" for cell in cells))  # noqa: T201


def show_shipped(circuit: str) -> None:
    """One circuit of the shipped book: the tool and the fixed order on the same simulated machines."""
    faults = found.called(circuit, found.hidden_in(circuit, PART, FIRST), FIRST)
    mine = [found.find(found.hide(circuit, fault, FIRST)) for fault in faults]
    fixed = [found.by_fixed_order(found.hide(circuit, fault, FIRST)) for fault in faults]
    told = [Foretold(one.chance, one.right) for one in mine if one.given]
    print(  # noqa: T201
        f"\n{circuit}: {len(faults)} simulated machines, {mean(one.minutes for one in mine):.1f} minutes to a verdict,"
        f" fixed order of the trade {apart([one.minutes for one in fixed], [one.minutes for one in mine])};"
        f"\nright {sum(one.right for one in mine)}, fixed order {sum(one.right for one in fixed)};"
        f" Brier at the verdict {brier(told):.3f} (due {due(told):.3f}),"
        f" confident and wrong {100 * confident_wrong(told):.1f} %"
    )


if __name__ == "__main__":
    main()
