"""What was found of danger holds: walks over every circuit, one fact given, everything else passed over or any answer.

The judgement knows nothing of dangers, bars and lifts: it looks at what the page of a step makes the machine do, by the
settings the step stands at and the words of a repair.
"""

from __future__ import annotations

import os
import random
import re
from contextlib import suppress
from dataclasses import dataclass, field, replace

import pytest

from coldiron import AnswerError, Consultation, Question
from coldiron.book.book import Book
from coldiron.job.rows import row_of
from coldiron.job.steps import Answered
from support.mechanic import shipped
from support.wander import lesser

BOOK = shipped()

STARTS = {("key", "start"), ("remote_button", "pressed"), ("remote_start", "closed")}
LEAD_OFF = {("battery_lead", "off")}
OFF = {*LEAD_OFF, ("isolator", "off")}
AHEAD = ("stud_ohms", "rest_amps", "rest_volts")
"""What these find may lie ahead of an isolator: only the lead off makes it dead."""
CHARGES = re.compile(r"(?<!not )\bcharge (it|slowly)", re.IGNORECASE)
THOROUGH = bool(os.environ.get("COLDIRON_THOROUGH"))
WALKS = int(os.environ.get("COLDIRON_WALKS", "1"))
STEPS = 12


@dataclass(frozen=True)
class Fact:
    """Something found, told by the answer to a check or question, and what it must never lead to.

    `silent` are the checks and questions by which it would truly be found again, or found gone; he passes them over.
    """

    name: str
    value: str
    start: bool = True
    power: bool = False
    link: bool = False
    charge: bool = False
    silent: tuple[str, ...] = ()
    opening: dict[str, str] = field(default_factory=dict)


FACTS = {
    "lamp": Fact("link_place_lamp", "bright", power=True, link=True, silent=("link_place_lamp", "dead_side_ohms")),
    "ohms": Fact("dead_side_ohms", "0.5", power=True, link=True, silent=("dead_side_ohms", "link_place_lamp")),
    "stud": Fact("stud_ohms", "0.1", power=True, silent=("stud_ohms",)),
    "amps": Fact("rest_amps", "300", power=True, silent=("stud_ohms", "dead_side_ohms")),
    "minus": Fact("rest_volts", "-12.5", power=True, charge=True, silent=("rest_volts", "lead_off_volts")),
    "bulged": Fact("battery_look", "bulged", charge=True, silent=("battery_look",)),
    "frost": Fact("frost", "frost", charge=True, silent=("rest_volts", "battery_look", "frost")),
    "locked": Fact("bar_engine", "locked", silent=("bar_engine",)),
    "flooded": Fact("water", "flooded", silent=("bar_engine", "water", "engine_inside")),
    "nobody looked": Fact("engine_inside", "skip", silent=("bar_engine", "water", "engine_inside")),
    "runs on": Fact(
        "starter_let_back",
        "runs_on",
        power=True,
        silent=("starter_contact_ohms", "relay_contact_ohms", "key_start_ohms", "starter_let_back", "complaint"),
    ),
    "smoke": Fact("raised", "smoking", power=True, silent=("hot_look", "raised"), opening={"raised": "smoking"}),
    "smell": Fact("raised", "smell", power=True, silent=("smell_now", "raised"), opening={"raised": "smell"}),
    "someone": Fact("raised", "someone", power=True, silent=("people_out", "raised"), opening={"raised": "someone"}),
}


def volts_of(circuit: str) -> int:
    """12 or 24."""
    return BOOK.circuits[circuit].volts


def opened(book: Book, circuit: str, opening: dict[str, str]) -> Consultation:
    """A job on a machine up to the first step, everything at hand."""
    said = {"raised": "none", "usual": "other", "volts": str(volts_of(circuit)), "circuit": circuit}
    said |= {"complaint": "unclear", "kit": "all"}
    said.update(opening)
    now = Consultation(book)
    for _ in range(20):
        asked = now.next
        assert asked is not None
        if asked.kind in ("now", "caution"):
            now = now.answer(asked.id, asked.choices[0])
        elif asked.id.startswith("has."):
            now = now.answer(asked.id, circuit)
        elif asked.id in said:
            now = now.answer(asked.id, "not sure" if asked.id == "complaint" else said[asked.id])
        else:
            break
    return now


def harm(book: Book, asked: Question, fact: Fact) -> str:
    """What the step on a page would do that the fact forbids; empty if it may be done."""
    if asked.kind == "repair":
        if fact.charge and CHARGES.search(asked.text):
            return "charges it"
        if fact.link and asked.id.endswith("link.blown"):
            return "a link put in on a short"
        return ""
    if asked.id.startswith("set."):
        name = asked.id.removeprefix("set.").partition("@")[0]
        given = (name, asked.choices[0])
        powers = given == ("battery_lead", "on") or (given == ("main_link", "in") and fact.link)
        return "gives power" if (fact.power and powers) or (fact.start and given in STARTS) else ""
    states, quantity = _states(book, asked.step or asked.id)
    for state in states:
        standing = set(state.items())
        if fact.start and standing & STARTS:
            return "START"
        if fact.charge and ("charger", "on") in standing:
            return "charges it"
        dead = standing & (LEAD_OFF if fact.name in AHEAD else OFF)
        limited = fact.link and ("main_link", "out") in standing
        if fact.power and quantity != "eye" and not dead and not limited:
            return "read with the power on"
    return ""


def _states(book: Book, name: str) -> tuple[list[dict[str, str]], str]:
    """The settings that a step stands at, and what it reads."""
    if name in book.checks:
        return [dict(book.checks[name].state)], book.checks[name].reads.quantity
    shown = name.partition(".")[2]
    return ([dict(book.duties[shown].state)], "eye") if shown in book.duties else ([], "")


def entered(book: Book, circuit: str, fact: Fact) -> Consultation | None:
    """A job with the fact given; None where such a machine cannot show it."""
    now = opened(book, circuit, fact.opening)
    if fact.name in fact.opening:
        return now
    setup = now.setup
    assert setup is not None
    if fact.name in book.questions:
        return now.answer(fact.name, fact.value)
    names = [name for name in setup.machine.checks if fact.name in (name, name.partition(".")[0])]
    if not names:
        return None
    value = f"{float(fact.value) * volts_of(circuit) / 12:g}" if fact.name == "rest_volts" else fact.value
    return now.answer(names[0], value, sure=True)


def moved(now: Consultation, asked: Question, fact: Fact, chance: random.Random) -> Consultation:
    """One move of somebody who passes nearly everything over, now and then answers, goes back, changes, parks."""
    luck = chance.random()
    given = [step.id for step in now.steps if isinstance(step, Answered) and step.id in now.book.checks]
    if luck < 0.06:
        return now.back()
    if luck < 0.1:
        return now.park()
    if luck < 0.14 and given:
        return now.change(chance.choice(given), "not sure")
    if asked.kind == "caution" and luck < 0.4 and asked.step in now.book.checks:
        return now.answer(asked.step, "skip")
    if asked.kind == "repair":
        return now.answer(asked.id, "done" if luck < 0.6 else "no")
    return now.answer(asked.id, typed(now.book, asked, fact, chance, passes=luck > 0.35), sure=True)


def typed(book: Book, asked: Question, fact: Fact, chance: random.Random, *, passes: bool) -> str:
    """What he types: where he does not pass it over, any choice or a good figure."""
    if asked.kind == "caution":
        return asked.choices[0]
    if asked.kind in ("now", "proof") and asked.id not in book.checks:
        return chance.choice(asked.choices)
    if passes or asked.id.partition(".")[0] in fact.silent:
        return "not sure" if asked.kind == "intake" else "skip"
    if asked.choices:
        return chance.choice(asked.choices)
    check = book.checks[asked.id]
    band = next(finding for finding in check.findings if finding.id == check.good).bands[0]
    return f"{(band.low + min(band.high, band.low + 2)) / 2:g}"


def worst(circuit: str, name: str, seed: int, *, without: bool = False) -> str:
    """The first step on a walk that the fact forbids, with how it came to it; `without` the dangers of the book."""
    fact = FACTS[name]
    book = lesser(circuit, seed)
    if without:
        book = replace(book, dangers={}, hash=f"{book.hash} without")
    now = entered(book, circuit, fact)
    if now is None:
        pytest.skip("such a machine cannot show it")
    chance = random.Random(f"{circuit} {name} {seed}")  # noqa: S311 - no secret
    for _ in range(STEPS):
        asked = now.next
        if asked is None:
            break
        wrong = harm(book, asked, fact)
        if wrong:
            trail = [" ".join(row_of(step)) for step in now.steps]
            return f"{asked.kind} {asked.id}: {wrong}, after {trail}"
        with suppress(AnswerError):
            now = moved(now, asked, fact, chance)
    return ""


PAIRS = [
    (circuit, name)
    for row, circuit in enumerate(BOOK.circuits)
    for column, name in enumerate(FACTS)
    if THOROUGH or (row + column) % 5 == 0
]
"""Every circuit with every fact, or, where time is short, every fact on some circuits and every circuit with some."""


@pytest.mark.parametrize(("circuit", "name"), PAIRS)
def test_no_step_is_offered_that_a_fact_forbids(circuit: str, name: str) -> None:
    """Common practice, no source: what was found of danger holds, whatever is skipped, declined or taken back."""
    for seed in range(WALKS):
        assert worst(circuit, name, seed) == ""


@pytest.mark.parametrize("name", ["lamp", "bulged", "flooded"])
def test_the_judgement_sees_what_would_hurt(name: str) -> None:
    """Without its dangers the book offers such a step on the same walks: what watches here can fail."""
    assert any(worst("start_relay", name, seed, without=True) for seed in range(6))
