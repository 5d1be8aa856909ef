"""Random walks through a consultation: everything a person can type, in any order, sense or none."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from coldiron import AnswerError, Consultation, Question
from coldiron.book.book import Book
from coldiron.book.checks import UNITS, Check
from coldiron.book.history import COMPLAINT
from coldiron.choice.judge import Judge
from coldiron.inference.limits import Limits
from coldiron.job.steps import Answered, is_repaired, standing
from coldiron.judging.composing import setup_of
from coldiron.readings.refusal import UNKNOWN
from support.hazards import DEADLY, due_before
from support.mechanic import Mechanic, shipped

MOVES = {
    "answer": 53,
    "guess": 12,
    "skip": 6,
    "back": 5,
    "change": 5,
    "park": 3,
    "resume": 2,
    "volunteer": 6,
    "decline": 3,
    "mend": 2,
    "note": 1,
    "code": 2,
}
"""How often each thing is done, out of a hundred."""

FEW = Limits(largest=1, solved=0, pool=20)
"""A judge that thinks of one fault at a time: what may be asked is the same, and found in a tenth of the time."""


@lru_cache(maxsize=64)
def lesser(circuit: str, seed: int, faults: int = 8) -> Book:
    """The shipped book with only a few of the faults of a circuit, drawn by the seed, and a judge that is quick.

    Checks, cautions, rules and settings are all there; a walk over such a machine takes milliseconds.
    """
    book = shipped()
    known = setup_of(book, circuit).machine
    chance = random.Random(f"{circuit} {seed}")  # noqa: S311 - no secret
    kept = set(chance.sample(sorted(known.faults), faults))
    every = (*known.faults, *book.circuits[circuit].odds)  # those of no odds stay so
    odds = {name: known.odds[name] if name in kept else 0.0 for name in every}
    only = {circuit: replace(book.circuits[circuit], odds=odds)}
    few = replace(book, circuits=only, hash=f"{book.hash} {circuit} {seed} {faults}")
    setup = setup_of(few, circuit)
    setup.judge = Judge(setup.table.model, setup.table, FEW)
    return few


class Wanderer:
    """Somebody who types one thing after another, some of it right.

    Args:
        mechanic: who knows the machine.
        seed: of every choice made.
        daring: how often, of all moves, he makes for what can hurt, and tries to get there past its caution.
    """

    def __init__(self, mechanic: Mechanic, seed: int, daring: float = 0.0) -> None:
        self.mechanic = mechanic
        self.daring = daring
        self.chance = random.Random(seed)  # noqa: S311 - no secret
        self.book = mechanic.book

    def walk(self, steps: int, begin: Consultation | None = None) -> Iterator[tuple[Consultation, str]]:
        """The consultation after every move, and what the move was; a refused one leaves it as it was."""
        now = begin or Consultation(self.book)
        for _ in range(steps):
            asked = now.next
            if asked is None:
                return
            dares = self.daring and self.chance.random() < self.daring
            move = "dare" if dares else self.chance.choices(list(MOVES), weights=list(MOVES.values()))[0]
            before = now
            try:
                now = getattr(self, f"_{move}")(now, asked)
            except AnswerError:
                now = before
            yield now, move

    def home(self, now: Consultation, most: int) -> Iterator[tuple[Consultation, str]]:
        """The consultation after every honest answer from here to the end of the job, `most` of them at the most."""
        for _ in range(most):
            asked = now.next
            if asked is None:
                return
            try:
                now = self._answer(now, asked)
            except AnswerError:  # another machine was named, whose meter has another range
                now = self._skip(now, asked)
            yield now, "home"

    def take(self, now: Consultation) -> Consultation:
        """After an honest answer to the present question."""
        return self._answer(now, now.next) if now.next else now

    def leave(self, now: Consultation) -> Consultation:
        """After the present step was left undone."""
        return self._skip(now, now.next) if now.next else now

    def tell(self, now: Consultation) -> Consultation:
        """After something else was told in the place of an answer; as it was, if it was refused."""
        try:
            return self._volunteer(now, now.next) if now.next else now
        except AnswerError:
            return now

    def _dare(self, now: Consultation, asked: Question) -> Consultation:
        """Make for what can hurt: round a caution if it can be got round, else on to a step that needs one."""
        if asked.kind == "caution":
            return self._round(now, asked)
        if asked.kind == "intake" or self.grave(now, asked):
            return self._answer(now, asked)
        faults = [name for name, _ in now.suspects[:20] if self._needs_care(name)]
        if faults and self.chance.random() < 0.3:
            return now.answer(self.chance.choice(faults), "done")
        return self._skip(now, asked)

    def _round(self, now: Consultation, asked: Question) -> Consultation:
        """The step of a caution without it, or with one that no longer holds; or, every other time, as it should be."""
        way = self.chance.randrange(6)
        if way == 0 and asked.step:
            return now.answer(asked.step, "done" if asked.step in self.book.faults else "12.6", sure=True)
        if way == 1:
            return now.answer(asked.id, self.chance.choice(("yes", "ok", "done", "12.6", "skip")))
        after = now.answer(asked.id, asked.choices[0])
        return after.park() if way == 2 else after

    def grave(self, now: Consultation, asked: Question) -> bool:
        """Whether a step needs a caution that is typed."""
        return any(self.book.cautions[name].word in DEADLY for name in due_before(now, asked))

    def _needs_care(self, fault: str) -> bool:
        return any(self.book.cautions[name].word in DEADLY for name in self.book.faults[fault].what.cautions)

    def _answer(self, now: Consultation, asked: Question) -> Consultation:
        if asked.id in self.book.checks and asked.id not in self.mechanic.machine.checks:
            return now.answer(asked.id, self._some(self.book.checks[asked.id]), sure=True)  # another machine was named
        answer = self.mechanic.answer(asked)
        if asked.kind == "repair":
            self._mended(asked.id)
        return now.answer(asked.id, answer, sure=True)

    def _guess(self, now: Consultation, asked: Question) -> Consultation:
        return now.answer(asked.id, self._any(asked), sure=True)

    def _any(self, asked: Question) -> str:
        if asked.unit:
            return self.chance.choice(("0", "0.05", "0.4", "6.1", "10.4", "12.6", "25.3", "OL", "-3", "twelve"))
        return self.chance.choice((*asked.choices, "nonsense"))

    def _skip(self, now: Consultation, asked: Question) -> Consultation:
        return now.answer(asked.id, "no" if asked.kind == "repair" else self.chance.choice(UNKNOWN))

    def _back(self, now: Consultation, _: Question) -> Consultation:
        return now.back()

    def _change(self, now: Consultation, _: Question) -> Consultation:
        known = [step.id for step in standing(now.steps) if isinstance(step, Answered)]
        if not known:
            return now
        name = self.chance.choice(known)
        return now.change(name, self._other(now, name), sure=True)

    def _other(self, now: Consultation, name: str) -> str:
        if name in self.book.checks:
            return self._some(self.book.checks[name])
        if name == "kit":
            return self.chance.choice(("all", "none", "meter", "meter,lamp"))
        if name.partition(".")[0] == "code":
            return self._any_code()
        if name in ("usual", "volts", "circuit"):
            known = {"usual": "other", "volts": str(self.mechanic.machine.volts)}
            return known.get(name, self.mechanic.circuit)
        if name.startswith(("show.", "tick.")):
            return self.chance.choice(("works", "fails", "all", "none", "14.1", "0", "not sure"))
        if name == COMPLAINT or name in self.book.questions:
            return self.chance.choice(now.question(name).choices)
        return "done"

    def _some(self, check: Check) -> str:
        if check.reads.quantity in UNITS:
            return self.chance.choice(("0", "0.05", "0.4", "6.1", "10.4", "12.6", "25.3", "OL", "not sure"))
        return self.chance.choice([*(finding.id for finding in check.findings), "cannot reach"])

    def _park(self, now: Consultation, _: Question) -> Consultation:
        return now.park()

    def _resume(self, now: Consultation, _: Question) -> Consultation:
        return Consultation(self.book, now.steps)

    def _volunteer(self, now: Consultation, _: Question) -> Consultation:
        if now.setup is None:
            return now
        if self.chance.random() < 0.2:
            name = self.chance.choice(list(self.book.duties))
            return now.answer(f"show.{name}", self.chance.choice(("works", "fails", "14.1", "cannot reach")), sure=True)
        check = self.book.checks[self.chance.choice(now.setup.machine.checks)]
        return now.answer(check.id, self._some(check), sure=True)

    def _decline(self, now: Consultation, asked: Question) -> Consultation:
        return now.answer(asked.id, "no") if asked.kind == "repair" or "no" in asked.choices else now

    def _mend(self, now: Consultation, _: Question) -> Consultation:
        if not now.suspects:
            return now
        fault = self.chance.choice([name for name, _ in now.suspects[:5]])
        after = now.answer(fault, "done")
        if is_repaired(after.steps[-1]):
            self._mended(fault)
        return after

    def _mended(self, fault: str) -> None:
        if fault in self.mechanic.machine.faults:
            self.mechanic.mend(fault)

    def _code(self, now: Consultation, _: Question) -> Consultation:
        return now.answer("code", self._any_code())

    def _any_code(self) -> str:
        known = [f"{code.spn} {code.fmis[0]}" for code in self.book.codes.values()]
        return self.chance.choice([*known, "520999 3", "168 77", "168"])

    def _note(self, now: Consultation, _: Question) -> Consultation:
        return now.note("the blue wire goes to the horn")
