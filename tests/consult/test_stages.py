"""The heading of a page tells the stage of the job and how far it is."""

from __future__ import annotations

from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Heading
from coldiron.screens.stage import STAGES, stage_of
from support.mechanic import worked

JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")


def test_a_job_goes_through_every_stage_in_order() -> None:
    """Each is met, and met first in the order of the list; a job with two faults goes back to the checks."""
    met = list(dict.fromkeys(stage_of(now, now.next) for now in JOB.after if now.next))
    assert met == list(STAGES)


def test_every_page_but_that_of_a_danger_begins_with_its_stage() -> None:
    """Cautions too; what to do right now comes before any stage."""
    for now in JOB.after:
        if now.next is None:
            continue
        headings = [block.text for block in JobDriver("a job", now).page().blocks if isinstance(block, Heading)]
        stage = stage_of(now, now.next)
        wanted = "Do this right now" if now.next.kind == "now" else f"Stage {STAGES.index(stage) + 1} of 6: {stage}"
        assert any(text.startswith(wanted) for text in headings), headings


def test_what_is_done_of_a_stage_only_grows_until_a_fix() -> None:
    """Checks done are counted up; what was shown before the hand-back begins again with the next fix."""
    counts = [
        int(text.partition("checks, ")[2].split()[0])
        for now in JOB.after
        for block in JobDriver("a job", now).page().blocks
        if isinstance(block, Heading) and "checks, " in (text := block.text)
    ]
    assert counts == sorted(counts)
    assert counts[-1] > counts[0]
