"""What the figure of a reading tells beside the name of its band: the same hidden faults, the same readings.

    python tests/bench/bench_figures.py [CIRCUITS] [READINGS] [SEEDS]

Every fault of CIRCUITS (start_relay,isolator_24,jump_posts) that shows on one of seven measured checks is hidden SEEDS
(2) times in a machine of the book with scattered parts and a size of its own; READINGS (4) of the seven, drawn, are
taken well and judged twice, once by their bands and once by their figures. Prints by circuit how many, and for either
way the mean of the odds of the right part, of the right fault, and how often the first suspect is of the right part.
It asserts nothing. The world is the book's own.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from pathlib import Path
from statistics import mean

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.circuits.machine import Machine
from coldiron.circuits.simulated import Manner, SimulatedMachine
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence, Reading
from coldiron.judging.composing import setup_of
from coldiron.judging.judgement import finding_number
from coldiron.readings.findings import finding_of
from support.mechanic import shipped

CHECKS = (
    "rest_volts",
    "crank_volts",
    "plus_path_drop",
    "ground_path_drop",
    "s_terminal_volts",
    "relay_coil_volts",
    "key_start_volts",
)
WELL = Manner(slips=0.0, wrong=0.0, always=True)


def main(circuits: Sequence[str], readings: int, seeds: int) -> None:
    """Print both ways side by side."""
    sys.stdout.write(f"{'circuit':14} {'jobs':>5}   right part  right fault  first right   (bands, figures)" + "\n")
    for circuit in circuits:
        setup = setup_of(shipped(), circuit)
        jobs = [job for fault in setup.machine.faults for job in _jobs(setup.machine, fault, readings, seeds)]
        rows = []
        for fault, told in jobs:
            bands = tuple(Reading(one.check, one.finding) for one in told)
            rows.append([_scores(setup.judge.belief(Evidence(way)), fault) for way in (bands, tuple(told))])
        ways = [[mean(row[way][score] for row in rows) for score in range(3)] for way in range(2)]
        shown = "   ".join(f"{ways[0][score]:.3f} {ways[1][score]:.3f}" for score in range(3))
        sys.stdout.write(f"{circuit:14} {len(jobs):5}   {shown}" + "\n")


def _jobs(machine: Machine, fault: str, readings: int, seeds: int) -> list[tuple[str, list[Reading]]]:
    found = []
    checks = [check for check in CHECKS if check in machine.checks]
    for seed in range(seeds):
        simulated = SimulatedMachine(machine, [fault], seed * 7919 + 1, WELL)
        values = {check: simulated.answer(check).number for check in checks}
        told = [_reading(machine, check, value) for check, value in values.items() if value is not None]
        goods = [finding_number(machine.book.checks[one.check], machine.book.checks[one.check].good) for one in told]
        if all(one.finding == good for one, good in zip(told, goods, strict=True)):
            continue
        drawn = random.Random(f"{fault} {seed}").sample(told, min(readings, len(told)))  # noqa: S311 - no secret
        found.append((fault, sorted(drawn, key=lambda one: one.check)))
    return found


def _reading(machine: Machine, check: str, value: float) -> Reading:
    record = machine.book.checks[check]
    finding = finding_number(record, finding_of(record, value, machine.volts, machine.batteries))
    return Reading(check, finding, figures=(value,))


def _scores(belief: Belief, fault: str) -> tuple[float, float, float]:
    part = fault.partition(".")[0]
    first = max(belief.suspects, key=lambda item: (round(item[1], 9), item[0]))[0]
    return dict(belief.parts)[part], belief.chance(fault), float(first.partition(".")[0] == part)


if __name__ == "__main__":
    asked = sys.argv[1:]
    main(
        asked[0].split(",") if asked else ["start_relay", "isolator_24", "jump_posts"],
        int(asked[1]) if len(asked) > 1 else 4,
        int(asked[2]) if len(asked) > 2 else 2,
    )
