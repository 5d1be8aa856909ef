"""Whether jobs go on after a repair: a cause, its victim and one more fault, answered truly to the end.

    python tests/bench/bench_second.py [JOBS] [SEED] [CIRCUITS]

JOBS (64), drawn by SEED (1) over CIRCUITS (all): a cause with a victim that the book knows, and one more fault that has
nothing to do with them, each of which leaves something amiss by itself; hidden in a simulated machine of their own.
Prints one line for each job that was not mended, then one for all, and asserts nothing:
- mended: of a hundred, nothing of what was hidden is left at the end (reach: 95), and was handed back;
- repairs and in vain: how many were done in the mean, and how many of them took nothing away;
- answers: in the median and at worst (a job is left after 120);
- ms: processor time of an answer and its page, the mechanic left out: of the first page after a repair at worst
  (reach: 300), and of all others (reach: 100) at worst and in the median.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from statistics import mean, median
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron import Consultation
from coldiron.judging.composing import setup_of
from support.found import machine_of, mechanic
from support.mechanic import LIMIT, own_machine, shipped

TRIES = 60
"""Draws on one circuit until it is given up: on a small one few faults are seen by themselves."""

Hidden = tuple[str, tuple[str, str, str], int]
"""A circuit, its cause, victim and one more fault, and the seed of the machine."""


@dataclass(frozen=True)
class Job:
    """What one job came to; milliseconds by whether a repair came just before."""

    hidden: Hidden
    left: tuple[str, ...]
    status: str
    repairs: tuple[str, ...]
    vain: int
    answers: int
    after_repair: tuple[float, ...]
    others: tuple[float, ...]


def drawn(jobs: int, seed: int, circuits: list[str]) -> Iterator[Hidden]:
    """So many jobs, the circuits in turn."""
    chance = random.Random(f"second {seed}")  # noqa: S311 - no secret
    for number in range(jobs):
        yield draw(circuits[number % len(circuits)], chance, seed)


def draw(circuit: str, chance: random.Random, seed: int) -> Hidden:
    """One job on a circuit."""
    machine = own_machine(shipped(), circuit)
    links = sorted({(cause, victim) for cause, victim, _ in machine.links()})
    for _ in range(TRIES):
        cause, victim = chance.choice(links)
        other = chance.choice(sorted(machine.faults))
        parts = {machine.faults[name].part for name in (cause, victim, other)}
        tied = any({one, two} & {cause, victim} and other in (one, two) for one, two in links)
        own = machine_of(seed, cause, victim, other)
        alone = ([cause, victim, other], [cause], [victim], [other])
        if len(parts) == 3 and not tied and all(mechanic(circuit, faults, own).is_amiss for faults in alone):
            return circuit, (cause, victim, other), own
    raise LookupError(circuit)


def worked(hidden: Hidden) -> Job:
    """Work a job to its end."""
    circuit, faults, seed = hidden
    him = mechanic(circuit, faults, seed)
    setup_of(him.book, circuit)  # composing is measured elsewhere
    now, answers, vain = Consultation(shipped()), 0, 0
    spent: dict[bool, list[float]] = {True: [], False: [0.0]}
    while (asked := now.next) is not None and answers < LIMIT:
        said = him.answer(asked)
        start = process_time()
        now = now.answer(asked.id, said, sure=True)
        _ = now.next, now.verdict
        spent[asked.kind == "repair"].append(1000 * (process_time() - start))
        if asked.kind == "repair":
            before = him.present
            him.do(asked)
            vain += him.present == before
        answers += 1
    times = tuple(spent[True]), tuple(spent[False])
    return Job(hidden, tuple(sorted(him.present)), now.verdict.status, tuple(him.repaired), vain, answers, *times)


def main() -> None:
    """Work the jobs side by side and print."""
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 64
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    circuits = sys.argv[3].split(",") if len(sys.argv) > 3 else sorted(shipped().circuits)
    done: list[Job] = []
    with ProcessPoolExecutor() as pool:
        for job in pool.map(worked, list(drawn(jobs, seed, circuits))):
            done.append(job)
            if job.left or job.status != "handed back":
                circuit, faults, _ = job.hidden
                print(  # noqa: T201
                    f"  {circuit}: {' '.join(faults)}; left {' '.join(job.left) or 'nothing'}, {job.status}; "
                    f"repaired {' '.join(job.repairs) or 'nothing'}; {job.answers} answers",
                    flush=True,
                )
    after, others = [ms for job in done for ms in job.after_repair], [ms for job in done for ms in job.others]
    print(  # noqa: T201
        f"{len(done)} jobs: mended {share([not job.left for job in done])}, handed back "
        f"{share([not job.left and job.status == 'handed back' for job in done])}; "
        f"repairs {mean(len(job.repairs) for job in done):.1f}, in vain {mean(job.vain for job in done):.1f}; answers "
        f"{median(job.answers for job in done):.0f}, {max(job.answers for job in done)}; ms after a repair "
        f"{max(after, default=0.0):.0f} ({median(after or [0.0]):.0f}), else {max(others):.0f} ({median(others):.0f})"
    )


def share(hits: list[bool]) -> str:
    """How many of a hundred are so."""
    return f"{100 * mean(hits):.0f}"


if __name__ == "__main__":
    main()
