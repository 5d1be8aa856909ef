"""All that can hurt in a step stands on one page with one word; a START goes on in a line from the same place."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.job.at_machine import NEW_STRETCH, place_of
from coldiron.screens.drawing import fit
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import CautionBlock, Text
from support.mechanic import Job, shipped, worked

BOOK = shipped()

ROWS = 20
"""Rows of a terminal of 24 that are left beside title, message, the line to type in and the words below it."""

STARTS = {"key": "start"}


@pytest.fixture(scope="module", params=[("starter_cut", "starter.contacts_burnt"), ("interlocks", "battery.dead_cell")])
def job(request: pytest.FixtureRequest) -> Job:
    """Two whole jobs with readings at START in several places."""
    return worked(*request.param)


def pages(job: Job) -> list[Consultation]:
    """The states of a job that have a page of cautions."""
    return [now for now in job.after if now.next is not None and now.next.kind == "caution"]


def test_one_word_serves_for_all_that_can_hurt_in_a_step(job: Job) -> None:
    """Every one of them is on the page, and none comes on a second one."""
    assert pages(job)
    for now in pages(job):
        asked = now.next
        assert asked is not None
        assert {caution.id for caution in asked.cautions} == set(asked.acks)
        after = now.answer(asked.id, asked.choices[0])
        assert after.next is not None
        assert after.next.kind != "caution"
        shown = JobDriver("a job", now).page().blocks
        hazards = " ".join(block.hazard for block in shown if isinstance(block, CautionBlock))
        lines = " ".join(block.text for block in shown if isinstance(block, Text))
        assert all(c.hazard in hazards or c.hazard.rstrip(".") in lines for c in asked.cautions)


def test_the_page_of_several_conditions_names_each(job: Job) -> None:
    """The word is that of the gravest; who types it is told that it stands for all."""
    several = [now for now in pages(job) if now.next and len({c.type for c in now.next.cautions}) > 1]
    assert several
    for now in several:
        prompt = JobDriver("a job", now).page().prompt
        assert now.next is not None
        assert prompt is not None
        if not now.next.beside:
            assert all(caution.type.upper() in prompt.label for caution in now.next.cautions)
            assert "all of it" in prompt.hint


def test_a_page_of_cautions_fits_a_small_terminal(job: Job) -> None:
    """80 columns by 24 rows, so that nothing is turned over unread."""
    for now in pages(job):
        assert len(fit(JobDriver("a job", now).page().blocks, 80, ROWS)) <= ROWS


def test_all_of_a_cab_is_one_place_and_the_starter_another() -> None:
    """Moving a probe from the dash to the fuse panel is no walk round the machine."""
    assert {place_of(BOOK, area) for area in ("operator_station", "fuse_box", "dash_panel")} == {"operator_station"}
    apart = ("operator_station", "battery_box", "starter_area", "engine_bay", "relay_box", "link_box")
    assert {place_of(BOOK, area) for area in apart} == set(apart)


def test_the_first_start_at_a_place_is_typed_and_takes_its_minutes(job: Job) -> None:
    """And each in another place again; between two at one place there is but a line."""
    starts = 0
    last = ""
    for now in pages(job):
        asked = now.next
        assert asked is not None
        check = BOOK.checks.get(asked.step)
        if check is None or check.state != STARTS or "crank_area" not in asked.acks:
            continue
        full = "crank_area" not in asked.beside
        assert full or last == place_of(BOOK, check.area)
        last = place_of(BOOK, check.area)
        at_it = now.answer(asked.id, asked.choices[0])
        assert at_it.next is not None
        done = at_it.answer(check.id, job.mechanic.reads(check), sure=True)
        assert done.minutes - at_it.minutes == pytest.approx(at_it.next.minutes, abs=0.05)
        assert done.minutes - at_it.minutes >= check.minutes + (NEW_STRETCH if full else 0)
        starts += full
    assert starts
