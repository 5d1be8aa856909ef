"""Whether the repair that is offered first mends what is wrong, beside whether it is of the right part.

    python tests/bench/bench_repairs.py [FAULTS] [CIRCUITS] [SEED]

FAULTS of every circuit (30), CIRCUITS by commas (all), SEED (11) of simulated machines: each fault is hidden in a
machine of its own and answered for until a repair is asked for. Prints how many jobs, in how many of a hundred the part
was right (reach: 97) and the repair mends it (reach: 95), the mean minutes, and what was taken for what; asserts
nothing.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.circuits.machine import Machine, compose
from support.found import hide, to_the_repair
from support.mechanic import shipped


def offered(circuit: str, fault: str, seed: int) -> tuple[str, float] | None:
    """The first repair that is offered, or else the likeliest fault, and the minutes; nothing if nothing is amiss."""
    him = hide(circuit, fault, seed)
    if not him.is_amiss:
        return None
    now, repair = to_the_repair(him)
    return repair or now.suspects[0][0], now.minutes


def main() -> None:
    """Print what came of the jobs."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    circuits = sys.argv[2].split(",") if len(sys.argv) > 2 and sys.argv[2] else list(shipped().circuits)
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 11
    jobs = part = mends = 0
    minutes = 0.0
    taken: Counter[tuple[str, str, str]] = Counter()
    for circuit in circuits:
        machine: Machine = compose(shipped(), circuit)
        names = list(machine.faults)
        Random(seed).shuffle(names)  # noqa: S311 - no secret
        for fault in names[:most]:
            found = offered(circuit, fault, seed)
            if found is None:
                continue
            named, took = found
            right = machine.faults[named].part == machine.faults[fault].part
            mended = fault in machine.mended_with(named)
            jobs, part, mends, minutes = jobs + 1, part + right, mends + mended, minutes + took
            if not mended:
                other = machine.faults[named].what.id if right else named
                taken[machine.faults[fault].kind, machine.faults[fault].what.id, other] += 1
        print(  # noqa: T201
            f"{circuit:<18} so far {jobs} jobs; right part {100 * part / jobs:.1f}; it mends {100 * mends / jobs:.1f}; "
            f"{minutes / jobs:.1f} minutes",
            flush=True,
        )
    for (kind, was, named), count in taken.most_common():
        print(f"{count:4d}  {kind}: {was}, taken for {named}")  # noqa: T201


if __name__ == "__main__":
    main()
