"""How a log is folded to the dangers that stand: one step more goes onto what was folded, and changes no result."""

from __future__ import annotations

import random
from contextlib import suppress

import pytest  # noqa: TC002 - a fixture names it
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.consult.fold import replay
from coldiron.job import danger_fold
from coldiron.job.danger_records import Told
from coldiron.job.dangers import standing_dangers
from coldiron.judging.composing import setup_of
from support.mechanic import Mechanic, shipped
from support.wander import lesser

CIRCUITS = tuple(shipped().circuits)

TELLING = tuple(
    (sign.name, sign.value) for danger in shipped().dangers.values() for told in danger.told for sign in told
)
"""What tells of a danger, by check, template or question."""


def opened(seed: int) -> Consultation:
    """A job past its opening, on a circuit by the seed."""
    circuit = CIRCUITS[seed % len(CIRCUITS)]
    book = lesser(circuit, 0)
    mechanic = Mechanic(book, circuit, frozenset((min(setup_of(book, circuit).machine.faults),)), seed=seed)
    now = Consultation(book)
    while now.next is not None and now.judged is None:
        now = now.answer(now.next.id, mechanic.answer(now.next))
    return now


def more(now: Consultation, chance: random.Random) -> Consultation:
    """The job after something that tells of a danger, lifts one, is taken back or changed, or says nothing."""
    what = chance.random()
    with suppress(AnswerError):
        if what < 0.15:
            return now.back()
        if what < 0.3 and now.findings:
            return now.change(chance.choice(sorted(now.findings)), chance.choice(("skip", "1", "0.1")), sure=True)
        if what < 0.4:
            return now.park()
        if what < 0.7 and now.next is not None:
            return now.answer(now.next.id, chance.choice([*now.next.choices, "skip", "1", "12.6"]), sure=True)
        name, value = chance.choice(TELLING)
        named = [check for check in now.book.checks if name in (check, check.partition(".")[0])]
        return now.answer(chance.choice(named or [name]), value or "skip", sure=True)
    return now


@settings(max_examples=20)
@given(st.integers(0, 10_000))
def test_dangers_folded_step_by_step_are_those_of_the_whole_log(seed: int) -> None:
    """After any walk, answers that told of a danger taken back and given anew among it."""
    chance = random.Random(seed)  # noqa: S311 - no secret
    now = opened(seed)
    for _ in range(25):
        now = more(now, chance)
        checks = now.setup.machine.checks if now.setup else None
        grown = standing_dangers(now.state, checks)
        assert grown == standing_dangers(replay(now.book, now.steps), checks)


def test_a_page_takes_up_the_last_step_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was said before is not read again for every page, and a danger that stands is carried on."""
    now = opened(1)
    assert now.judged
    assert not now.judged.dangers
    heard: list[str] = []
    values_said = danger_fold.values_said

    def noted(told: Told, name: str, text: str) -> frozenset[str]:
        heard.append(name)
        return values_said(told, name, text)

    monkeypatch.setattr(danger_fold, "values_said", noted)
    told = now.answer("battery_look.battery", "bulged")
    assert told.judged
    assert [one.danger.id for one in told.judged.dangers] == ["bulged_battery"]
    heard.clear()
    later = told.note("one").note("two")
    assert later.judged
    assert later.judged.dangers == told.judged.dangers
    assert heard == []
