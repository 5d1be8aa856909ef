"""When one key will do for a caution, and when its word is to be typed: few words, or nobody reads them."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.job import acknowledged
from coldiron.job.acknowledged import READ, SO, Acks, given, waiting
from coldiron.job.cautions import dues_of
from coldiron.job.steps import MARK, AcknowledgeStep, PauseStep
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import CautionBlock, Reply, Text
from support.mechanic import shipped, worked

BOOK = shipped()
STARTS = dues_of(BOOK).starts
EACH = dues_of(BOOK).each_step
LASTING = frozenset(name for name, caution in BOOK.cautions.items() if caution.type) - EACH
JOB = worked("interlocks", "battery.dead_cell")


def asked_before(step: str, nth: int = 0) -> Consultation:
    """The job at the page of cautions before a step."""
    found = [now for now in JOB.after if now.next and now.next.kind == "caution" and now.next.step == step]
    return found[nth]


def test_after_a_repair_what_was_read_comes_in_a_line_and_start_in_full() -> None:
    """The battery is read at once more: gas in a line, by one key. START is typed, though typed it was before."""
    again = asked_before("rest_volts", 1)
    assert again.state.epochs[:-1]
    assert again.next
    assert again.next.brief
    assert set(again.next.acks) == set(again.next.beside) >= {"battery_gas", "battery_short"}
    lines = [block for block in JobDriver("a job", again).page().blocks if isinstance(block, Text)]
    assert any(BOOK.cautions["battery_gas"].hazard.rstrip(".") in line.text for line in lines)
    assert again.answer("battery_gas", "s").steps[-1] == AcknowledgeStep(again.next.acks, "rest_volts", SO)
    crank = asked_before("starter_turn")
    assert crank.next
    assert not crank.next.brief
    assert "crank_area" not in crank.next.beside


@pytest.mark.parametrize("word", ["s", "goggled"])
def test_a_warning_is_read_in_full_and_confirmed_by_one_key(word: str) -> None:
    """All of it stands on the page; Enter is no key, and its word says as much as the key."""
    now = asked_before("cell_gravity.battery")
    assert now.next
    assert now.next.brief
    assert {caution.word for caution in now.next.cautions} == {"WARNING"}
    page = JobDriver("a job", now).page()
    assert [block.hazard for block in page.blocks if isinstance(block, CautionBlock)]
    assert page.prompt is not None
    assert "GOGGLED" in page.prompt.label
    assert now.answer(now.next.id, word).steps[-1] == AcknowledgeStep(now.next.acks, now.next.step, READ)


@pytest.mark.parametrize("name", sorted(name for name in LASTING | EACH if BOOK.cautions[name].word == "DANGER"))
def test_no_danger_is_confirmed_by_one_key_before_it_was_typed(name: str) -> None:
    """Whatever else stands acknowledged, and whatever one key was said to."""
    keyed = given(BOOK, Acks(), [*EACH, *LASTING - {name}], "a_step", word=READ)
    waits = waiting(BOOK, keyed, [name], "another_step")
    assert waits.typed
    assert [caution.id for caution in waits.full] == [name]


def test_who_leaves_or_lets_ten_minutes_go_by_reads_all_of_it_again() -> None:
    """A parked job, another program, ten minutes, an answer that ends it: nothing is known of before."""
    typed = given(BOOK, Acks(), LASTING, "a_step", word="aired")
    name = "battery_gas"
    assert not waiting(BOOK, acknowledged.repaired(typed), [name], "next").typed
    later = acknowledged.paused(BOOK, typed)
    assert name in later.held
    assert waiting(BOOK, acknowledged.repaired(later), [name], "next").typed
    now = asked_before("rest_volts", 1)
    assert now.next
    assert name in now.next.beside
    killed = Consultation(BOOK, (*now.steps, MARK))
    assert killed.next
    assert not killed.next.brief
    paused = Consultation(BOOK, (*now.steps, PauseStep()))
    assert paused.next
    assert not paused.next.brief
    raised = next(n for n in sorted(LASTING) if "raised" in BOOK.cautions[n].until)
    assert waiting(BOOK, acknowledged.ended_by(BOOK, typed, "raised"), [raised], "next").full


def test_a_page_of_the_hand_back_left_at_its_cautions_ends_the_stretch() -> None:
    """Who leaves it has left his place; the next START there is read in full."""
    now = asked_before("show.neutral_refuses")
    assert now.next
    begun = now.answer(now.next.id, now.next.choices[0])
    assert begun.next
    shown = begun.answer(begun.next.id, "works")
    assert STARTS & shown.state.acks.read
    assert shown.next
    assert shown.next.kind == "caution"
    left = shown.answer(shown.next.step, "skip")
    assert not STARTS & left.state.acks.read


@pytest.mark.parametrize("line", ["99999", "rubbish", "why", "help"])
def test_what_changes_nothing_after_ten_minutes_has_start_read_in_full_again(line: str) -> None:
    """The page of a START comes again in no line on what was typed a quarter of an hour ago; the reply is not lost."""
    now = next(now for now in JOB.after if now.next and now.next.unit and now.next.id == "show.charging_volts")
    at = [0.0]
    driver = JobDriver("a job", now, clock=lambda: at[0], at=0.0)
    soon = driver.enter(line)
    assert isinstance(soon, Reply) or soon.consultation is now
    at[0] = 900.0
    late = driver.enter(line)
    assert isinstance(late, JobDriver)
    asked = late.consultation.next
    assert asked is not None
    assert asked.kind == "caution"
    assert asked.step == "show.charging_volts"
    assert not asked.brief
    assert "crank_area" not in asked.beside
    told = [block.text for block in soon.blocks if isinstance(block, Text)] if isinstance(soon, Reply) else soon.said
    assert late.said[:-1] == tuple(told)


def test_what_changes_nothing_after_ten_minutes_at_a_step_without_start_stays_a_reply() -> None:
    """Nothing is to be read once more there."""
    now = next(now for now in JOB.after if now.next and now.next.kind == "intake")
    late = JobDriver("a job", now, clock=lambda: 900.0, at=0.0).enter("rubbish")
    assert isinstance(late, Reply)
