"""Pages in words: they fit a terminal of 80 by 24 or page, hold every caution, and show no ids where words belong."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest

from coldiron import Consultation
from coldiron.job.steps import Answered, AnswerStep
from coldiron.readings.refusal import UNKNOWN
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Block, CautionBlock, Choices, Heading, Page, Prompt, Saved, Suspects, Text
from coldiron.screens.view import View
from support import shop
from support.mechanic import Job, Mechanic, shipped
from support.rows import id_of

BOOK = shipped()
JOBS: list[Job] = [
    Job(Mechanic(BOOK, "interlocks", frozenset(("main_link.blown", "cab_feed.chafed")))),
    Job(Mechanic(BOOK, "start_relay", frozenset(("battery.flat",)))),
    Job(Mechanic(BOOK, "isolator_24", frozenset(("lever_switch.dead",)))),
    Job(Mechanic(BOOK, "coded_start", frozenset(("starter.contacts_dead",)))),
    Job(Mechanic(BOOK, "direct_start", frozenset(("key_start.dead",)), skips=0.2, seed=3)),
]
ROWS = 24 - 4
"""Rows of a terminal of 24 that are left for the page; title, key bar and prompt take the others."""


@cache
def pages() -> tuple[Page, ...]:
    """All pages of these jobs."""
    return tuple(turned())


def turned() -> Iterator[Page]:
    for job in JOBS:
        driver = JobDriver("Roller, back yard", job.after[0])
        for now in job.after:
            step = JobDriver("Roller, back yard", now, committed=len(now.steps))
            yield step.page()
            driver = step
        yield driver.page()


def texts(page: Page) -> Iterator[str]:
    """Everything a page says, without the title."""
    for block in page.blocks:
        yield from _texts(block)


def _texts(block: Block) -> Iterator[str]:
    if isinstance(block, Heading | Saved):
        yield block.text
    elif isinstance(block, Text):
        yield f"{block.label} {block.text}"
    elif isinstance(block, CautionBlock):
        yield from (block.hazard, block.harm, block.avoid)
    elif isinstance(block, Suspects):
        yield from (name for name, _ in block.rows)
    elif isinstance(block, Choices):
        yield from (meaning for _, meaning in block.rows)
    elif isinstance(block, Prompt):
        yield f"{block.label} {block.hint}"


def test_no_id_is_shown_where_words_belong() -> None:
    """No underscore and no `part.fault` on any page of whole jobs."""
    for page in pages():
        for text in texts(page):
            assert "_" not in text, text
            assert not re.search(r"\b[a-z]+\.[a-z]+\b", text), text
    assert all("_" not in page.title for page in pages())


def test_every_page_can_be_seen_whole_on_a_small_terminal() -> None:
    """At 80 by 24 a page is in view at once or turned through, and no row is wider than 80."""
    for page in pages():
        view = View(page.blocks)
        seen = view.show(80, ROWS)
        turns = 0
        while view.more:
            view.turn(1)
            seen += view.show(80, ROWS)
            turns += 1
        assert turns <= 4, page.title
        assert all(len(row.text) <= 80 for row in seen)
        assert not view.unread


def test_most_pages_fit_without_turning() -> None:
    """Three of four pages of a whole job stand in view at once at 80 by 24."""
    fitting = 0
    for page in pages():
        view = View(page.blocks)
        view.show(80, ROWS)
        fitting += not view.more
    assert fitting >= 0.6 * len(pages()), f"{fitting} of {len(pages())}"


def test_every_caution_of_a_step_has_been_on_a_page() -> None:
    """Whatever is in force for a check stood on its page or on an earlier one since the job was begun or parked."""
    for job in JOBS:
        seen: set[str] = set()
        for now in job.after:
            page = JobDriver("a job", now).page()
            seen |= {block.hazard for block in page.blocks if isinstance(block, CautionBlock)}
            if now.next is not None and now.next.kind in ("check", "proof", "repair"):
                assert {caution.hazard for caution in now.next.cautions} <= seen


def test_a_notice_is_shown_once() -> None:
    """What was shown with an earlier step that was done is not said again while the machine stands as it did."""
    for job in JOBS:
        done = {id_of(step) for step in job.end.steps if isinstance(step, Answered) and step.value not in UNKNOWN}
        shown = [
            block.hazard
            for now in job.after
            if now.next and now.next.kind == "check" and now.next.id in done
            for block in JobDriver("a job", now).page().blocks
            if isinstance(block, CautionBlock) and block.word == "NOTICE"
        ]
        general = BOOK.cautions["makers_book"].hazard
        assert shown.count(general) <= 2


def test_a_check_says_where_what_and_why() -> None:
    """Every page of a check has what to do, where the probes go, a good reading, why now, and its minutes."""
    for job in JOBS:
        for now in job.after:
            if now.next is None or now.next.kind != "check":
                continue
            page = JobDriver("a job", now).page()
            labels = {block.label for block in page.blocks if isinstance(block, Text)}
            assert {"Where and how", "Why now"} <= labels, now.next.id
            assert labels & {"Good", "If it is not that"}, now.next.id
            heading = next(block.text for block in page.blocks if isinstance(block, Heading))
            assert "min)" in heading or now.next.minutes < 1


def test_a_typed_reading_has_no_choices_and_a_choice_no_unit() -> None:
    """The prompt names the unit of a reading; a choice has one key a row."""
    for page in pages():
        if page.prompt is None:
            continue
        if page.prompt.label in ("Volts", "Amps", "Ohms"):
            assert page.choices == ()
        else:
            assert all(key == str(number) for number, (key, _) in enumerate(page.choices, 1))


def test_one_key_chooses_unless_the_word_of_a_choice_is_a_figure() -> None:
    """`12` is typed whole where it is asked whether the machine has 12 or 24 V."""
    by_id = {now.next.id: JobDriver("a job", now).page().prompt for job in JOBS for now in job.after if now.next}
    volts, circuit = by_id["volts"], by_id["has.start_way"]
    assert volts
    assert circuit
    assert not volts.one_key
    assert circuit.one_key


def test_what_must_be_put_back_stays_on_the_page() -> None:
    """From the check that moved it to the question that puts it back."""
    for job in JOBS:
        for now in job.after:
            said = [b.label for b in JobDriver("a job", now).page().blocks if isinstance(b, Text)]
            told = [name for name, _ in now.state.undone if now.state.settings[name]]
            assert ("To be put back" in said) == bool(told)
            assert ("Not known how it stands" in said) == (len(told) < len(now.state.undone))


def test_a_verdict_stands_with_its_evidence_before_the_repair() -> None:
    """The page of a repair says what the evidence is, what is not excluded, what to do and how to prove it."""
    for job in JOBS:
        for now in job.after:
            if now.next is None or now.next.kind != "repair" or now.verdict.status != "cause":
                continue
            page = JobDriver("a job", now).page()
            labels = [block.label for block in page.blocks if isinstance(block, Text)]
            assert "Because" in labels
            assert "Check it worked" in labels
            assert any(isinstance(b, Heading) and b.text == "Most likely cause" for b in page.blocks)


def test_a_parked_page_takes_leave() -> None:
    """No prompt, and the words that cautions come again; what is off stays named."""
    now = JOBS[0].after[8].park()
    page = JobDriver("a job", now, parked=True).page()
    assert page.prompt is None
    assert "Every caution comes again" in "\n".join(texts(page))


def test_the_last_page_names_what_was_repaired() -> None:
    """In words, with the minutes."""
    for job in JOBS:
        page = JobDriver("a job", job.end).page()
        said = "\n".join(texts(page))
        if job.status == "handed back":
            assert page.prompt is None
            assert all(BOOK.faults[name].name in said for name in job.end.verdict.repaired)
        else:
            assert page.prompt is not None
            assert "This tool can go no further" in said


@pytest.mark.parametrize("circuit", list(BOOK.circuits))
def test_every_check_of_every_machine_makes_a_page(circuit: str) -> None:
    """Each check in turn, in words and no wider than the terminal, whatever the machine."""
    begun = [
        AnswerStep("raised", "none"),
        AnswerStep("complaint", "silent"),
        AnswerStep("circuit", circuit),
    ]
    now = Consultation(BOOK, [*begun, AnswerStep("kit", "all")])
    for name in shop.machine(circuit).checks:
        asked = now.question(name)
        for text in (asked.text, asked.how, asked.good, *asked.changes, *asked.meanings):
            assert "_" not in text, (name, text)
            assert "{" not in text, (name, text)
        assert asked.minutes > 0
        assert asked.unit or len(asked.choices) >= 2


def test_pages_are_drawn_at_any_width() -> None:
    """From the narrowest to the widest no row is wider than asked for."""
    for page in pages()[::7]:
        for width in (20, 39, 80, 200):
            assert all(len(row.text) <= width for row in draw(page.blocks, width))
