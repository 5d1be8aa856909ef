"""Somebody who plays a job: he answers from what can be told, seen or measured on a foreign machine."""

from __future__ import annotations

import random
from collections.abc import Mapping

from coldiron import AnswerError, Consultation, Question
from foreign.measuring import Bench
from foreign.people import adaptor, adaptor_parts
from foreign.people.checking import Checking
from foreign.people.drawing import Drawn
from foreign.record import Fault
from foreign.world import broken

NOT_SURE, CANNOT_REACH, MISREAD = 0.20, 0.10, 0.03
"""Shares of descriptions nobody is sure of, of checks out of reach, of readings that are misread: by estimate."""

SHOWS = 0.6
"""How often a fault that comes and goes is there when somebody looks: by estimate."""


class Person:
    """One person at one machine; `present` is what is still wrong with it."""

    def __init__(self, job: Drawn) -> None:
        self.job, self.machine = job, job.machine
        self.present = list(job.faults)
        self._chance = random.Random(f"person {job.seed}")  # noqa: S311 - no secret
        self._told = adaptor.features(job.machine)
        if job.wrong_machine:
            self._mistake()
        self._benches: dict[tuple[str, ...], Bench] = {}
        self.vain: list[str] = []
        self.mended: list[str] = []

    def _mistake(self) -> None:
        """One thing of the machine that he takes for another."""
        name = self._chance.choice(["isolator", "interlocks", "cold_aid", "start_way"])
        others = {
            "isolator": ["yes", "no"],
            "interlocks": ["none", "neutral", "several"],
            "cold_aid": ["none", "glow_plugs"],
            "start_way": ["relay", "one_switch", "switches", "key_itself"],
        }[name]
        self._told[name] = self._chance.choice([each for each in others if each != self._told[name]])

    # -- the machine as it is now

    def bench(self) -> Bench:
        """The machine as it is at this moment: what comes and goes is there or not."""
        faults = [each for each in self.present if not each[0].shows_when or self._chance.random() < SHOWS]
        names = tuple(fault.name for fault, _ in faults)
        if names not in self._benches:
            self._benches[names] = Bench(broken(self.job.sound, faults))
        return self._benches[names]

    def works(self) -> bool:
        """Whether nothing that he could see or hear is wrong."""
        return not self.present

    # -- answers

    def answer(self, asked: Question, now: Consultation) -> str:
        """What he types at a page."""
        book = now.book
        if asked.kind == "caution":
            return asked.choices[0]
        if asked.kind in ("now", "set"):
            return asked.choices[0]
        if asked.kind == "repair":
            self.repair(asked, now)
            return "done"
        if asked.id in book.checks:
            return self._check(asked, now)
        if asked.id.startswith("show."):
            return self._function(asked, now)
        if asked.id.startswith("tick."):
            return "all" if self.works() else "none"
        if asked.kind == "proof":
            return "done" if self.works() or "done" not in asked.choices else "no"
        return self._tells(asked)

    def _tells(self, asked: Question) -> str:
        """What he says of the machine and of what happened."""
        fixed = {"volts": str(self.machine.volts), "kit": "all", "raised": "none"}
        if asked.id in fixed:
            return fixed[asked.id]
        if asked.id == "complaint":
            said = adaptor.COMPLAINTS[self.job.tells]
            return said if said in asked.choices else "not sure"
        if asked.id.startswith("has."):
            said = self._told.get(asked.id.removeprefix("has."), "not sure")
            unsure = self._chance.random() < NOT_SURE or said not in asked.choices
            return "not sure" if unsure else said
        return self._history(asked)

    def _history(self, asked: Question) -> str:
        told = adaptor.SPEAKS_OF.get(asked.id, {})
        for choice, words in told.items():
            if choice in asked.choices and any(word in self.job.story for word in words):
                return choice
        nothing = [choice for choice in asked.choices if choice in adaptor.NOTHING]
        if asked.id in ("engine_inside", "smell_now", "people_out"):
            nothing = [choice for choice in asked.choices if choice in ("sound", "gone", "out")]
        if nothing and self._chance.random() >= NOT_SURE:
            return nothing[-1]
        return "not sure" if "not sure" in asked.choices or asked.kind == "check" else asked.choices[-1]

    # -- checks

    def _check(self, asked: Question, now: Consultation) -> str:
        check = now.book.checks[asked.id]
        if self._chance.random() < CANNOT_REACH:
            return "cannot reach"
        said = Checking(self.machine, self.bench(), [fault for fault, _ in self.present]).answer(check, asked)
        if self._chance.random() < MISREAD:
            return self._misread(said, asked)
        return said

    def _misread(self, said: str, asked: Question) -> str:
        """A wrong range, a wrong sign, a probe on the wrong side, a wrong choice."""
        if asked.choices:
            return self._chance.choice([each for each in asked.choices if each != "not sure"])
        try:
            value = float(said)
        except ValueError:
            return said
        wrong = self._chance.choice([value * 1000, -value, 0.0, value / 10])
        return f"{wrong:.2f}"

    def _function(self, asked: Question, now: Consultation) -> str:
        if not self.works():
            return "fails" if "fails" in asked.choices else "cannot reach"
        if asked.choices:
            return "works" if "works" in asked.choices else asked.choices[0]
        bands: Mapping[int, tuple[float, float]] = {
            band.volts: (band.low, band.high) for band in now.book.duties[asked.id.removeprefix("show.")].bands
        }
        low, high = bands.get(self.machine.volts) or bands.get(0, (0.0, 0.0))
        return f"{(max(low, 0) + high) / 2:.3g}"

    # -- repairs

    def repair(self, asked: Question, now: Consultation) -> None:
        """He does what the page says; what it mends is gone, a victim of what still stands is soon hurt again."""
        fault = now.book.faults[asked.id]
        done = adaptor_parts.acts(fault.what.name, fault.what.repair, renews=fault.what.renews)
        gone = [each for each in self.present if is_mended(each[0], asked.id, done)]
        causes = {name for each, _ in self.present for name in each.victims if (each, _) not in gone}
        gone = [each for each in gone if each[0].name not in causes]
        self.present = [each for each in self.present if each not in gone]
        if gone:
            self.mended += [each.name for each, _ in gone]
        else:
            self.vain.append(asked.id)


def is_mended(fault: Fault, named: str, done: set[str]) -> bool:
    """Whether a repair of the program, for its fault `named`, mends a fault of a machine."""
    return fault.part in adaptor_parts.at_fault(named) and adaptor_parts.mends(done, set(fault.mends), fault.part)


def take(now: Consultation, person: Person) -> tuple[Consultation, str]:
    """The job one answer further, and what was typed; what is refused is answered by what always serves."""
    asked = now.next
    assert asked is not None
    said = person.answer(asked, now)
    for line in (said, said, "cannot reach", "not sure", *asked.choices):
        try:
            return now.answer(asked.id, line, sure=line == said), line
        except AnswerError:
            continue
    raise AssertionError(f"nothing is taken at {asked.id}")
