"""Jobs on made-up machines: checks and repairs until the machine works, in any order that is given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from time import process_time

from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer
from coldiron.choice.verdict import GIVE_UP
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence, Reading
from support.calibration import Foretold
from support.fault_yard import WORKS
from support.yard_cases import Case

MOST = 80
"""A job is given up after so many checks and repairs."""

TWICE = 2
"""Nobody repairs one part more often than this: a job that asks for it again is given up."""


@dataclass
class Job:
    """One machine being worked on.

    Attributes:
        minutes: what its checks and repairs took.
        checks, wrong: how many checks were made, and how many sound parts repaired.
        foretold: before each step, the chance of the first suspect and whether it was there.
        verdicts: the same for what was repaired.
        seconds: of the processor, for each step.
    """

    case: Case
    judge: Judge
    left: frozenset[str]
    minutes: float = 0.0
    checks: int = 0
    wrong: int = 0
    readings: list[Reading] = field(default_factory=lambda: [Reading(WORKS, 0)])
    repairs: list[frozenset[str]] = field(default_factory=list)
    foretold: list[Foretold] = field(default_factory=list)
    verdicts: list[Foretold] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    @property
    def evidence(self) -> Evidence:
        return Evidence(tuple(self.readings), tuple(self.repairs))

    @property
    def offers(self) -> list[Offer]:
        """The checks not made since the latest repair."""
        now = len(self.repairs)
        done = {reading.check for reading in self.readings if reading.epoch == now}
        return [offer for offer in self.case.offers if offer.check not in done]

    @property
    def total(self) -> float:
        """The minutes, and what it costs to give up if the machine does not work."""
        return self.minutes + (GIVE_UP if self.left else 0.0)

    def check(self, name: str) -> None:
        self.minutes += self.case.minutes(name)
        self.checks += 1
        now = len(self.repairs)
        self.readings.append(Reading(name, self.case.read(name, self.left, now), now))

    def repair(self, faults: tuple[str, ...]) -> None:
        self.minutes += sum(self.case.repair_minutes(fault) for fault in faults)
        self.wrong += len(set(faults) - self.left)
        self.left = self.left.difference(faults)
        self.repairs.append(frozenset(faults))
        self.readings.append(Reading(WORKS, int(not self.left), len(self.repairs)))


Step = str | tuple[str, ...]
"""A check, or faults to repair; an empty text to give up."""

Order = Callable[[Job, Evidence, Belief], Step]
"""What to do next."""


def work(case: Case, order: Order, judge: Judge | None = None) -> Job:
    """Work on a machine until it runs or is given up; by a judge that knows it already, which only saves time."""
    job = Job(case, judge or Judge(case.model, case.table), left=case.truth)
    while job.left and job.checks + len(job.repairs) < MOST:
        start = process_time()
        evidence = job.evidence
        belief = job.judge.belief(evidence)
        step = order(job, evidence, belief)
        job.seconds.append(process_time() - start)
        suspect, chance = belief.suspects[0]
        job.foretold.append(Foretold(chance, suspect in job.left))
        if isinstance(step, str):
            if not step:
                break
            job.check(step)
        else:
            job.verdicts += [Foretold(belief.chance(fault), fault in job.left) for fault in step]
            if any(job.repairs.count(frozenset((fault,))) >= TWICE for fault in step):
                break
            job.repair(step)
    job.judge = Judge(case.model, case.table)  # what the other one keeps is large, and of no more use here
    return job
