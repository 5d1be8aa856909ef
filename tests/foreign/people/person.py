"""Somebody who plays a job: he answers from what can be told, seen or measured on a foreign machine."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace

from coldiron import AnswerError, Consultation, Question
from foreign.elements import Battery
from foreign.loading import part_of
from foreign.measuring import Bench
from foreign.people import adaptor, adaptor_parts
from foreign.people.checking import Checking
from foreign.people.drawing import Drawn
from foreign.people.stories import besides
from foreign.record import Fault
from foreign.world import World, broken

NOT_SURE, CANNOT_REACH, MISREAD = 0.20, 0.10, 0.03
"""Shares of descriptions nobody is sure of, of checks out of reach, of readings that are misread: by estimate."""

BATTERIES = ("battery", "low_battery", "high_battery", "second_battery")

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
        self.charged = False
        self.has_told = False
        self.sold = 0

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
        """The machine as it is at this moment: what comes and goes is there or not; eyes find it all the same."""
        faults = [each for each in self.present if not each[0].shows_when or self._chance.random() < SHOWS]
        names = tuple(fault.name for fault, _ in faults)
        if names not in self._benches:
            world = broken(self.job.sound, faults)
            self._benches[names] = Bench(charged(world, self.job.sound) if self.charged else world, frozenset(names))
        return self._benches[names]

    def works(self) -> bool:
        """Whether nothing is wrong any more, seen or not."""
        return not self.present

    def seems_well(self) -> bool:
        """Whether it does what it must while he looks on."""
        return self.bench().does() == "normal"

    def refuses(self, asked: Question) -> bool:
        """Whether a caution says what he sees is not so: no current into a battery that is frozen."""
        frozen = any("thaw" in fault.mends for fault, _ in self.present)
        return frozen and adaptor.NO_ICE in asked.acks

    # -- answers

    def answer(self, asked: Question, now: Consultation) -> str:
        """What he types at a page."""
        book = now.book
        if asked.kind == "caution":
            return asked.choices[0]
        if asked.kind == "set" and "jump_pack" in asked.id and not self.machine.seen.jump_posts:
            return "not done"
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
            seen = [name for name in asked.choices if name not in ("all", "none") and self._sees(name) == "works"]
            return ",".join(seen) or "none"
        if asked.kind == "proof":
            return "done" if self.seems_well() or "done" not in asked.choices else "no"
        return self._tells(asked)

    def _tells(self, asked: Question) -> str:
        """What he says of the machine and of what happened."""
        fixed = {"volts": str(self.machine.volts), "kit": "all", "raised": "none"}
        if asked.id in fixed:
            return fixed[asked.id]
        if asked.id == "usual":
            return self.machine.says.partition(":")[0]
        if asked.id == "complaint":
            said = adaptor.COMPLAINTS[self.job.tells]
            return said if said in asked.choices else "not sure"
        if asked.id == "fitted":
            there = [name for name in adaptor.besides(self.machine) if name in asked.choices]
            return "not sure" if self._chance.random() < NOT_SURE else ",".join(there) or "none"
        if asked.id.startswith("has."):
            said = self._told.get(asked.id.removeprefix("has."), "not sure")
            unsure = self._chance.random() < NOT_SURE or said not in asked.choices
            return "not sure" if unsure else said
        return self._history(asked)

    def _history(self, asked: Question) -> str:
        if asked.id == "operated":
            not_set = any(fault.part == "driver" for fault, _ in self.present)
            return "not sure" if self._chance.random() < NOT_SURE else "not_sure" if not_set else "all_set"
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
        if self._chance.random() < CANNOT_REACH or now.book.checks[asked.id].reads.part in now.book.routes:
            return "cannot reach"  # what eyes find where many wires pass is not worked out of these machines
        said = self.looks_again(asked, now)
        if self._chance.random() < MISREAD:
            return self._misread(said, asked)
        return said

    def looks_again(self, asked: Question, now: Consultation) -> str:
        """What a check shows to somebody who takes care."""
        bench = self.bench()
        faults = [fault for fault, _ in self.present if fault.name in bench.faults]
        return Checking(self.machine, bench, faults).answer(now.book.checks[asked.id], asked)

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

    def _sees(self, shown: str) -> str:
        """What he sees of one thing that the machine must do: works, fails, or it cannot be shown."""
        if shown in adaptor.STANDING_STILL:
            return "works"
        if shown == "dash_shown":
            return "works" if self.bench().light("dash") in ("bright", "none") else "fails"
        does = self.bench().does()
        if shown in adaptor.SHOWN_BY:
            works, fails = adaptor.SHOWN_BY[shown]
            return "works" if does in works else "fails" if fails is None or does in fails else "open"
        return "works" if does == "normal" else "open"

    def _function(self, asked: Question, now: Consultation) -> str:
        if asked.choices and (seen := self._sees(asked.id.removeprefix("show."))) in asked.choices:
            return seen
        if not self.seems_well():
            return "cannot reach"
        if asked.id == "show.standing_amps" and self.present:
            return f"{self.bench().standing_amps():.3f}"
        if asked.choices:
            return "works" if "works" in asked.choices else asked.choices[0]
        bands: Mapping[int, tuple[float, float]] = {
            band.volts: (band.low, band.high) for band in now.book.duties[asked.id.removeprefix("show.")].bands
        }
        low, high = bands.get(self.machine.volts) or bands.get(0, (0.0, 0.0))
        return f"{(max(low, 0) + high) / 2:.3g}"

    # -- repairs

    def is_left_over(self, named: str) -> bool:
        """Whether a repair renews what a fault that is mended by now had blown: it has to be done, and is not wrong."""
        mended = [fault for fault, _ in self.job.faults if all(fault != each for each, _ in self.present)]
        touched = {change.of for fault in mended for change in fault.change}
        parts = {part_of(each) for each in self.machine.elements if each.id in touched}
        return bool(parts & set(adaptor_parts.at_fault(named)))

    def repair(self, asked: Question, now: Consultation) -> None:
        """He does what the page says; what it mends is gone, a victim of what still stands is soon hurt again."""
        fault = now.book.faults[asked.id]
        done = adaptor_parts.acts(fault.what.name, fault.what.repair, renews=fault.what.renews)
        route = now.book.routes.get(fault.part)  # who opens a harness sees to each wire there
        named = [f"{part}.{fault.what.id}" for part in route.parts] if route else [asked.id]
        gone = [each for each in self.present if any(is_mended(each[0], one, done) for one in named)]
        causes = {name for each, _ in self.present for name in each.victims if (each, _) not in gone}
        gone = [each for each in gone if each[0].name not in causes]
        self.present = [each for each in self.present if each not in gone]
        if done & {"charge", "renew"} and set(adaptor_parts.at_fault(asked.id)) & set(BATTERIES):
            self.charged = True
            self._benches.clear()
            if "renew" in done:  # it runs again, on a battery that was sold in vain
                self.present = [each for each in self.present if each[0].mends != ("charge",)]
        if gone:
            self.mended += [each.name for each, _ in gone]
            return
        if self.is_left_over(asked.id):
            return
        self.vain.append(asked.id)
        self.sold += fault.what.renews or ("renew" in done and not done & adaptor_parts.HANDWORK)


def is_mended(fault: Fault, named: str, done: set[str]) -> bool:
    """Whether a repair of the program, for its fault `named`, mends a fault; a flat pair is charged as one."""
    known = set(adaptor_parts.at_fault(named))
    if fault.mends == ("charge",) and fault.part in BATTERIES and known & set(BATTERIES):
        return "charge" in done
    return fault.part in known and adaptor_parts.mends(done, set(fault.mends), fault.part)


def charged(world: World, sound: World) -> World:
    """A machine whose batteries were charged by somebody, whatever emptied them."""
    full = {each.id: each.charge for each in sound.elements if isinstance(each, Battery)}
    return replace(
        world,
        elements=tuple(
            each.model_copy(update={"charge": full[each.id]}) if isinstance(each, Battery) else each
            for each in world.elements
        ),
    )


def take(now: Consultation, person: Person) -> tuple[Consultation, str]:
    """The job one answer further, and what was typed.

    A reading that is doubted on the page is taken again, with care, and then stands; what is refused all the same is
    answered by what always serves.
    """
    asked = now.next
    assert asked is not None
    if asked.kind == "caution" and person.refuses(asked) and asked.step in now.book.checks:
        return now.answer(asked.step, "cannot reach"), "not so"
    if asked.id == "complaint" and (told := _tells_his_story(now, person)) is not None:
        return told, besides(person.job)
    said = person.answer(asked, now)
    try:
        return now.answer(asked.id, said), said
    except AnswerError:
        pass
    if asked.id in now.book.checks and said not in ("cannot reach", "not sure", "not fitted"):
        said = person.looks_again(asked, now)
    for line in (said, "other", "cannot reach", "not sure", *asked.choices):
        try:
            return now.answer(asked.id, line, sure=line == said), line
        except AnswerError:
            continue
    raise AssertionError(f"nothing is taken at {asked.id}")


def _tells_his_story(now: Consultation, person: Person) -> Consultation | None:
    """The job once he has told in his own words what he has to say besides; None if he has, or none is known."""
    words = besides(person.job)
    if not words or person.has_told:
        return None
    person.has_told = True
    try:
        return now.answer(adaptor.TOLD, words)
    except AnswerError:
        return None
