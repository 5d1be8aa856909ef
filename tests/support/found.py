"""Whether the tool finds what is hidden in a simulated machine, in how many minutes; and the fixed order beside it."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise, takewhile
from zlib import crc32

from coldiron import Consultation
from coldiron.book.checks import Check
from coldiron.choice.verdict import SURE, blame
from coldiron.job.at_machine import NEW_STRETCH, moves_on
from coldiron.job.cautions import before_check, dues_of
from coldiron.job.steps import AnswerStep
from coldiron.judging.composing import setup_of
from coldiron.machine.duties import is_page
from coldiron.proving import alike
from coldiron.proving.yard import SolvedMachine
from support.fixed_order import fixed_order
from support.hidden import CAREFUL, HiddenMechanic
from support.mechanic import own_machine, shipped, work

LONGEST = 100
"""Answers after which a verdict is not waited for any longer."""


@dataclass(frozen=True)
class Found:
    """One hidden fault and what came of it.

    Attributes:
        circuit: the machine.
        fault: what was hidden.
        suspect: the first suspect when the verdict was given; empty if none was.
        chance: its chance then.
        right: whether it is of the true part, or of one that no check tells from it.
        minutes: minutes by the book until then, opening questions included.
        given: whether there was a verdict at all.
    """

    circuit: str
    fault: str
    suspect: str
    chance: float
    right: bool
    minutes: float
    given: bool

    @property
    def misled(self) -> bool:
        """Whether the wrong part was blamed as if it were proven."""
        return self.given and not self.right


def hidden_in(circuit: str, share: float, seed: int) -> list[str]:
    """A seeded share of the faults that a machine can have, at least one."""
    names = sorted(own_machine(shipped(), circuit).faults)
    chance = random.Random(f"hidden {seed} {circuit}")  # noqa: S311 - no secret
    return sorted(chance.sample(names, max(1, round(share * len(names)))))


def mechanic(circuit: str, faults: Sequence[str], seed: int, slips: float = CAREFUL) -> HiddenMechanic:
    """A mechanic beside a simulated machine of the shipped book."""
    return HiddenMechanic(shipped(), circuit, frozenset(faults), seed=seed, slips=slips)


def machine_of(seed: int, *faults: str) -> int:
    """The seed of the machine that some faults are hidden in: each has parts, a meter and slips of its own.

    With one seed for all, a check that is misread on one machine is misread on every other of its circuit.
    """
    return crc32(f"{seed} {' '.join(sorted(faults))}".encode())


def hide(circuit: str, fault: str, seed: int, slips: float = CAREFUL) -> HiddenMechanic:
    """A mechanic beside the machine that a fault has of its own."""
    return mechanic(circuit, [fault], machine_of(seed, fault), slips)


def called(circuit: str, faults: Sequence[str], seed: int) -> list[str]:
    """Those of some faults with which the owner would call: the others leave nothing amiss that he could see."""
    return [fault for fault in faults if hide(circuit, fault, seed).is_amiss]


@cache
def same_part(circuit: str, fault: str) -> frozenset[str]:
    """The part of a fault, and the parts that have a fault which no check of the book tells from it."""
    machine = setup_of(shipped(), circuit).machine
    names = next((group for group in told_together(circuit) if fault in group), (fault,))
    return frozenset(machine.faults[name].part for name in names)


@cache
def told_together(circuit: str) -> tuple[tuple[str, ...], ...]:
    """The groups of faults of a machine that no check tells apart."""
    return tuple(group.faults for group in alike(SolvedMachine(setup_of(shipped(), circuit).machine)))


def find(him: HiddenMechanic) -> Found:
    """Answer what is asked until a repair is asked for, or nothing more is."""
    now, repair = to_the_repair(him)
    return _found(him, now, given=bool(repair))


def to_the_repair(him: HiddenMechanic) -> tuple[Consultation, str]:
    """What is asked answered until a repair is asked for, or its cautions; and its fault, empty where none is."""
    now = Consultation(him.book)
    for _ in range(LONGEST):
        asked = now.next
        if asked is None or repair_of(now):
            break
        now = now.answer(asked.id, him.answer(asked), sure=True)
    return now, repair_of(now)


def repair_of(now: Consultation) -> str:
    """The fault whose repair, or whose cautions, the page is about; empty for any other page."""
    return next((name for name in (now.next.id, now.next.step) if name in now.book.faults), "") if now.next else ""


def by_fixed_order(him: HiddenMechanic) -> Found:
    """The same, the checks made in the fixed order, until what was read leaves one part as sure as the tool wants it.

    The opening questions are answered as well, and what the complaint tells is not read again. Before the first START
    of a place everybody is sent off, as the tool's own minutes have it.
    """
    now = Consultation(him.book)
    while (asked := now.next) is not None and not now.state.kit:
        now = now.answer(asked.id, him.answer(asked), sure=True)
    told = {check for one in him.book.complaints.values() for check, _ in one.sees}
    done = told if now.state.complaint in him.book.complaints else set()
    setup = setup_of(him.book, him.circuit)
    clearing = 0.0
    for name in fixed_order(setup.machine, now.state.complaint):
        if name not in done:
            clearing += NEW_STRETCH if _clears(now, him.book.checks[name]) else 0.0
            now = Consultation(him.book, (*now.steps, AnswerStep(name, him.reads(him.book.checks[name]))))
            verdict = blame(now.judged.belief, setup.judge.model) if now.judged else None
            if verdict and verdict.chance >= SURE:
                return _found(him, now, given=True, clearing=clearing)
    return _found(him, now, given=False, clearing=clearing)


def _clears(now: Consultation, check: Check) -> bool:
    """Whether a check holds START, and is the first of its stretch."""
    book, state = now.book, now.state
    starts = dues_of(book).starts.intersection(before_check(book, check, state.settings))
    return bool(starts) and moves_on(state, check)


def _found(him: HiddenMechanic, now: Consultation, *, given: bool, clearing: float = 0.0) -> Found:
    (fault,) = him.faults
    suspect, chance = now.suspects[0] if now.suspects else ("", 0.0)
    faults = him.machine.faults
    right = bool(suspect) and (
        faults[suspect].part == faults[fault].part or faults[suspect].part in same_part(him.circuit, fault)
    )
    return Found(him.circuit, fault, suspect, chance, right and given, now.minutes + clearing, given)


def screens(him: HiddenMechanic) -> int:
    """How many preparation screens a job shows until its repair is proven; those due together are one.

    What the hand-back wants shown (cranking, running, an interlock that has to refuse) brings screens of its own.
    """
    asked = [(question.kind, question.step or question.id) for question, _ in work(him).said]
    kinds = [kind for kind, _ in takewhile(lambda one: not is_page(one[1]), asked)]
    return sum(kind == "caution" != before for before, kind in pairwise(["", *kinds]))


def chains(circuit: str, seed: int, mixed: random.Random | None = None) -> Iterator[tuple[str, str]]:
    """Every cause with its victim, by the chains of the book, that leave something amiss on a machine.

    The victim alone has to as well: with the cause gone, nobody looks for burnt contacts that crank as they should.
    They come in the order of the book, or mixed by chance.
    """
    links = list(dict.fromkeys((cause, victim) for cause, victim, _ in own_machine(shipped(), circuit).links()))
    for cause, victim in mixed.sample(links, len(links)) if mixed else links:
        own = machine_of(seed, cause, victim)
        if mechanic(circuit, [victim], own).is_amiss and mechanic(circuit, [cause, victim], own).is_amiss:
            yield cause, victim


def both_found(circuit: str, cause: str, victim: str, seed: int) -> bool:
    """Whether a whole job leads to both and tells them apart.

    A victim that its cause mostly brings is broken again while the cause is there, so that such a cause has to be found
    before the victim is repaired for good.
    """
    return all_found(circuit, [cause, victim], seed)


def all_found(circuit: str, faults: Sequence[str], seed: int) -> bool:
    """Whether a whole job leads to all of them: each is repaired, none is left, it is handed back."""
    him = mechanic(circuit, faults, seed)
    job = work(him)
    mended = [him.machine.mended_with(fault) for fault in him.repaired]
    every = all(any(fault in repaired for repaired in mended) for fault in faults)
    return every and not him.present and job.status == "handed back"
