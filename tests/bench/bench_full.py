"""From an answer to the next question at full size, and what the order of checks costs, against simpler orders.

    python tests/bench/bench_diagnosis.py [MACHINES] [FAULTS] [CHECKS]

Prints milliseconds and ratios; nothing here passes or fails. The machines are made up (`support.fault_yard`: 150 faults
in 12 subsystems, 250 noisy checks, one hidden fault or two), so the figures show what the code does with its own model
and nothing about machines or people.
- time, of the processor, so that a busy machine counts no more than an idle one: everything between an answer and the
  next question, which is the odds over singles, pairs and triples, the search for an answer that does not fit, test or
  repair, and the choice of the next check.
- minutes: checks and repairs until the machine works, on the same machines for every order:
  `whole` as shipped; `gain` most information per minute and a verdict at .80, nothing planned or weighed;
  `fixed` the checks in one order, system by system, skipping those that tell nothing; `repairs` no checks, parts by
  minutes over probability.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from math import sqrt
from pathlib import Path
from statistics import mean, stdev
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.diagnosis import (
    Belief,
    Evidence,
    Judge,
    Offer,
    Reading,
    Ways,
    choose,
    contradiction,
    decide,
)
from coldiron.diagnosis.ranking import rank
from coldiron.diagnosis.verdict import SURE
from support.fault_yard import WORKS, Yard

MOST = 150
"""A job is given up after so many checks and repairs."""


@dataclass
class Job:
    """One machine being worked on."""

    yard: Yard
    judge: Judge
    left: set[str] = field(default_factory=set)
    minutes: float = 0.0
    checks: int = 0
    wrong: int = 0
    readings: list[Reading] = field(default_factory=lambda: [Reading(WORKS, 0)])
    repairs: list[frozenset[str]] = field(default_factory=list)

    @property
    def evidence(self) -> Evidence:
        return Evidence(tuple(self.readings), tuple(self.repairs))

    @property
    def offers(self) -> list[Offer]:
        now = len(self.repairs)
        done = {reading.check for reading in self.readings if reading.epoch == now}
        return [offer for offer in self.yard.offers if offer.check not in done]

    def check(self, name: str) -> None:
        self.minutes += next(offer.minutes for offer in self.yard.offers if offer.check == name)
        self.checks += 1
        self.readings.append(Reading(name, self.yard.read(name), len(self.repairs)))

    def repair(self, faults: tuple[str, ...]) -> None:
        self.minutes += sum(self.yard.model.minutes(fault) for fault in faults)
        self.wrong += len(set(faults) - self.left)
        self.left -= set(faults)
        self.yard.truth = set(self.left)
        self.repairs.append(frozenset(faults))
        self.readings.append(Reading(WORKS, int(not self.left), len(self.repairs)))


Step = Callable[[Job, Evidence, Belief], str | tuple[str, ...]]
"""What to do next: a check, or faults to repair."""


def whole(job: Job, evidence: Evidence, belief: Belief) -> str | tuple[str, ...]:
    """As shipped."""
    offers, ways = job.offers, Ways()
    contradiction(job.judge, evidence)
    decision = decide(
        job.judge, evidence, belief, offers=offers, ways=ways, story=frozenset({WORKS} if not job.repairs else ())
    )
    if decision.verdict:
        return decision.verdict.faults
    choice = choose(job.judge, belief, offers, ways, decision.check)
    return choice.check if choice else likeliest(belief)


def gain(job: Job, _evidence: Evidence, belief: Belief) -> str | tuple[str, ...]:
    """Most information per minute, and a verdict when one part is sure."""
    if belief.parts[0][1] >= SURE:
        return likeliest(belief)
    ranked = rank(job.judge.pool(belief), job.offers, Ways())
    return ranked[0].offer.check if ranked else likeliest(belief)


def fixed(job: Job, _evidence: Evidence, belief: Belief) -> str | tuple[str, ...]:
    """The checks as they come, those that tell nothing left out."""
    if belief.parts[0][1] >= SURE:
        return likeliest(belief)
    pool = job.judge.pool(belief)
    for offer in job.offers:
        if pool.bits(pool.view(offer.check).columns) > 0.02:
            return offer.check
    return likeliest(belief)


def repairs(job: Job, _evidence: Evidence, belief: Belief) -> str | tuple[str, ...]:
    """No checks: the part with least minutes over its probability."""
    return (min(belief.suspects, key=lambda item: job.yard.model.minutes(item[0]) / max(item[1], 1e-12))[0],)


def likeliest(belief: Belief) -> tuple[str, ...]:
    return (belief.suspects[0][0],)


def work(yard: Yard, step: Step) -> tuple[Job, list[float]]:
    """Work on a machine until it runs; also the seconds each next step took."""
    job = Job(yard, Judge(yard.model, yard.table), left=set(yard.truth))
    seconds = []
    while job.left and job.checks + len(job.repairs) < MOST:
        start = process_time()
        evidence = job.evidence
        step_now = step(job, evidence, job.judge.belief(evidence))
        seconds.append(process_time() - start)
        if isinstance(step_now, str):
            job.check(step_now)
        else:
            job.repair(step_now)
    return job, seconds


def main() -> None:
    """Print the tables."""
    machines, faults, checks = sizes()
    results: dict[str, list[Job]] = {}
    for step in (whole, gain, fixed, repairs):
        times: list[float] = []
        jobs = results[step.__name__] = []
        for seed in range(machines):
            job, seconds = work(Yard(seed, faults, checks), step)
            jobs.append(job)
            times += seconds
        if step is whole:
            show_times(times, faults, checks)
    print(f"\n{'order':10}{'minutes':>10}{'ratio':>16}{'checks':>9}{'wrong parts':>13}{'unfinished':>12}")  # noqa: T201
    for name, jobs in results.items():
        ratios = [job.minutes / base.minutes for job, base in zip(jobs, results["whole"], strict=True)]
        error = stdev(ratios) / sqrt(len(ratios)) if len(ratios) > 1 else 0.0
        print(  # noqa: T201
            f"{name:10}{mean(j.minutes for j in jobs):10.1f}{mean(ratios):10.2f} ±{error:.2f}"
            f"{mean(j.checks for j in jobs):9.1f}{mean(j.wrong for j in jobs):13.2f}"
            f"{sum(bool(j.left) for j in jobs):12}"
        )


def sizes() -> tuple[int, int, int]:
    """Machines, faults and checks, from the command line."""
    given = [int(text) for text in sys.argv[1:4]]
    machines, faults, checks = [*given, *(40, 150, 250)[len(given) :]]
    return machines, faults, checks


def show_times(times: list[float], faults: int, checks: int) -> None:
    """Milliseconds from an answer to the next question."""
    ranked = sorted(times)
    middle, high, worst = (1e3 * ranked[min(len(ranked) - 1, int(share * len(ranked)))] for share in (0.5, 0.95, 1))
    print(f"{faults} faults, {checks} checks, {len(times)} questions: ", end="")  # noqa: T201
    print(f"median {middle:.1f} ms, 95 in 100 within {high:.1f} ms, worst {worst:.1f} ms")  # noqa: T201


if __name__ == "__main__":
    main()
