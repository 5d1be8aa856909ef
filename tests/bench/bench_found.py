"""Whether hidden faults are found by the tool, how often, and in how many minutes.

    python tests/bench/bench_found.py [SHARE] [CIRCUITS] [SEED]

SHARE of the faults of every circuit (0.1; 1 for all), CIRCUITS by commas (all), SEED (3) of simulated machines. Each
fault is hidden in a machine of its own, parts and meter a little off, and answered for through a consultation until it
names a repair; circuits are worked side by side on all processors. Prints by circuit and in all, and asserts nothing:
- faults: how many were hidden; quiet: those with which nothing is amiss that an owner could see, which are not worked;
- found: of the others, those where the first suspect at the verdict is the true part, or one that no check of the book
  tells from it (listed below), with the standard error (reach: 97 %); minutes: mean until then;
- fixed: the mean minutes of the fixed trade order (common practice) on every fourth of the same machines, what it
  found, and the ratio of the tool's minutes to it on those (reach: at most 0.60);
- screens: preparation screens of a job until its repair is proven, median (reach: at most 4) and worst, on those;
- slips: the same with three of a hundred readings wrong: found (reach: 90 %), and misled, a wrong part blamed;
- chains: pairs of cause and victim worked through repairs and proofs to the hand-back, and in how many of them both
  are found and told apart (reach: 90 %).
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from math import sqrt
from pathlib import Path
from random import Random
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from support import found
from support.found import Found
from support.hidden import SLIPPING
from support.mechanic import shipped

EVERY = 4
"""Every so many-th machine is worked by the fixed order as well: it takes long."""

HEADS = (
    "faults",
    "quiet",
    "found",
    "+-",
    "minutes",
    "fixed",
    "found",
    "ratio",
    "screens",
    "worst",
    "slips",
    "misled",
    "chains",
    "both",
)


class Tally:
    """What was found on one circuit, or on all."""

    def __init__(self) -> None:
        self.hidden = 0
        self.plain: list[Found] = []
        self.beside: list[Found] = []
        self.fixed: list[Found] = []
        self.screens: list[int] = []
        self.slipping: list[Found] = []
        self.chains: list[bool] = []
        self.missed: list[str] = []

    def add(self, other: Tally) -> None:
        """Take in another."""
        self.hidden += other.hidden
        for name in ("plain", "beside", "fixed", "screens", "slipping", "chains"):
            getattr(self, name).extend(getattr(other, name))

    def row(self) -> str:
        """One line of the table."""
        right = share([one.right for one in self.plain])
        error = 100 * sqrt(right * (1 - right) / max(1, len(self.plain)))
        ratio = mean([one.minutes for one in self.beside]) / max(0.01, mean([one.minutes for one in self.fixed]))
        figures = [
            f"{self.hidden}",
            f"{self.hidden - len(self.plain)}",
            f"{100 * right:.1f}",
            f"{error:.1f}",
            f"{mean([one.minutes for one in self.plain]):.1f}",
            f"{mean([one.minutes for one in self.fixed]):.1f}",
            f"{100 * share([one.right for one in self.fixed]):.0f}",
            f"{ratio:.2f}",
            f"{median(self.screens or [0]):g}",
            f"{max(self.screens, default=0)}",
            f"{100 * share([one.right for one in self.slipping]):.1f}",
            f"{100 * share([one.misled for one in self.slipping]):.1f}",
            f"{len(self.chains)}",
            f"{100 * share(self.chains):.0f}",
        ]
        return "".join(f"{figure:>9}" for figure in figures)


def mean(values: list[float]) -> float:
    """The mean; 0 of none."""
    return sum(values) / len(values) if values else 0.0


def share(hits: list[bool]) -> float:
    """How many of them are so; 0 of none."""
    return mean([float(hit) for hit in hits])


def tally(circuit: str, part: float, seed: int) -> Tally:
    """Work one circuit."""
    done = Tally()
    names = found.hidden_in(circuit, part, seed)
    done.hidden = len(names)
    for number, fault in enumerate(found.called(circuit, names, seed)):
        one = found.find(found.hide(circuit, fault, seed))
        done.plain.append(one)
        if number % EVERY == 0:
            done.beside.append(one)
            done.fixed.append(found.by_fixed_order(found.hide(circuit, fault, seed)))
            done.screens.append(found.screens(found.hide(circuit, fault, seed)))
        done.slipping.append(found.find(found.hide(circuit, fault, seed, SLIPPING)))
        if not one.right:
            done.missed.append(f"{circuit}: {fault} taken for {one.suspect or 'nothing'} ({one.chance:.2f})")
    pairs = list(found.chains(circuit, seed))
    for cause, victim in Random(seed).sample(pairs, max(1, round(part * len(pairs)))):  # noqa: S311 - no secret
        both = found.both_found(circuit, cause, victim, found.machine_of(seed, cause, victim))
        done.chains.append(both)
        if not both:
            done.missed.append(f"{circuit}: not both of {cause} and {victim}")
    return done


def main() -> None:
    """Print the table, and the groups that no check tells apart; circuits are worked side by side."""
    part = float(sys.argv[1]) if len(sys.argv) > 1 else 0.1
    circuits = sys.argv[2].split(",") if len(sys.argv) > 2 and sys.argv[2] else list(shipped().circuits)
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 3
    print(f"seed {seed}, {100 * part:.0f} of 100 faults")  # noqa: T201
    print(f"{'%, minutes':<18}" + "".join(f"{head:>9}" for head in HEADS), flush=True)  # noqa: T201
    whole = Tally()
    with ProcessPoolExecutor() as pool:
        for circuit, done in zip(circuits, pool.map(tally, circuits, repeat(part), repeat(seed)), strict=True):
            whole.add(done)
            print("".join(f"    {missed}\n" for missed in done.missed), end="")  # noqa: T201
            print(f"{circuit:<18}{done.row()}", flush=True)  # noqa: T201
    print(f"{'all':<18}{whole.row()}")  # noqa: T201
    for circuit in circuits:
        for group in found.told_together(circuit):
            print(f"told apart by no check, {circuit}: {', '.join(group)}")  # noqa: T201


if __name__ == "__main__":
    main()
