"""Why: sentences from the records behind every question, suspicion, caution and conclusion."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.consult.naming import answer_in_words, meant
from coldiron.job.shares import NEARLY_ALL, in_100, narrows
from coldiron.judging.composing import setup_of
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")


@cache
def judged() -> Consultation:
    """The job at its first check."""
    return next(now for now in JOB.after if now.next and now.next.kind == "check")


def test_every_step_of_a_job_says_why_it_is_asked() -> None:
    """At each question at least one sentence, with a source where the book stands behind it."""
    for now in JOB.after:
        if now.next is None:
            continue
        lines = now.why()
        assert lines
        assert all(line.strip() for line in lines)
        if now.next.kind == "check":
            assert any("Source" in line for line in now.why(more=True))
        assert not any("bits" in line for line in lines)


def test_rules_sources_and_figures_wait_until_they_are_asked_for() -> None:
    """`why` is for a mechanic: the rule, its source and the odds come with `why more`, and nothing else is lost."""
    machine = setup_of(BOOK, "interlocks").machine
    names = ["", *machine.checks, *BOOK.cautions, *machine.parts, *machine.faults, *BOOK.facts]
    seen: set[str] = set()
    for now in JOB.after[-60:]:
        for name in names if now is judged() else [""]:
            if now.judged is None or (not name and now.next is None):
                continue
            plain, full = " ".join(now.why(name)), " ".join(now.why(name, more=True))
            for mark in ("Source", "(rule", "odds", "in 100 of the doubt"):
                assert mark not in plain
                seen.update({mark} if mark in full else ())
    assert seen == {"Source", "(rule", "odds", "in 100 of the doubt"}


def test_every_caution_of_a_page_is_explained() -> None:
    """`why` before a step gives the harm and the source of all that is due, not of the first alone."""
    pages = [now for now in JOB.after if now.next and now.next.kind == "caution" and len(now.next.cautions) > 1]
    assert pages
    for now in pages:
        told = " ".join(now.why())
        assert now.next
        for caution in now.next.cautions:
            assert caution.harm in told
            assert caution.source in " ".join(now.why(more=True))


def test_the_check_of_the_moment_is_never_called_second_best() -> None:
    """Nothing that is asked now says that another check tells more."""
    for now in JOB.after:
        if now.next is not None and now.next.kind in ("check", "proof"):
            assert not any("Another check tells more" in line for line in now.why())


def test_anything_known_can_be_asked_about() -> None:
    """Every check, caution, question, part, fault and fact of the machine has an answer."""
    machine = setup_of(BOOK, "interlocks").machine
    known = [*machine.checks, *BOOK.cautions, *BOOK.questions, *machine.parts, *machine.faults, *BOOK.facts]
    for name in known:
        lines = judged().why(name)
        assert lines or name in machine.parts
        assert all(lines)


def test_what_is_not_known_names_what_is_near() -> None:
    """A slip of the finger gets the nearest names."""
    with pytest.raises(AnswerError) as refused:
        judged().why("rest_vols")
    assert "rest_volts" in refused.value.could_be


def test_a_suspicion_is_told_by_its_readings() -> None:
    """Each reading that moved it, which way, and the history behind it."""
    before = next(now for now in JOB.after if now.next and now.next.kind == "repair")
    lines = before.why("main_link.blown")
    assert lines[0].startswith(BOOK.faults["main_link.blown"].name)
    assert any("makes it more likely" in line for line in lines)
    shifted = judged().answer("how_stopped", "working").why("main_link.blown")
    assert any("Your answer to" in line for line in shifted)


def test_what_each_answer_would_tell_adds_up() -> None:
    """The chances of the findings of a check come to about all, each with the parts that would then lead."""
    lines = judged().predicted_answers()
    assert len(lines) >= 2
    shares = [line.split("(")[-1].split(" in 100")[0] for line in lines]
    assert sum(int(share) for share in shares if share.isdecimal()) == pytest.approx(100, abs=4)
    assert all(": then " in line for line in lines)


def test_only_a_check_of_a_known_machine_tells_anything() -> None:
    """Before the machine is known, and for a caution, there is nothing to foresee."""
    with pytest.raises(AnswerError):
        Consultation(BOOK).predicted_answers()
    with pytest.raises(AnswerError):
        judged().predicted_answers("crank_area")


def test_what_history_would_tell_is_told_by_the_faults_it_speaks_of() -> None:
    """Each answer with the faults of this machine that it makes likelier or less likely."""
    lines = judged().predicted_answers("how_stopped")
    assert len(lines) == len(BOOK.questions["how_stopped"].answers)
    assert any("likelier: the main link: blown" in line or "likelier" in line for line in lines)


def test_words_find_what_was_meant() -> None:
    """An id is itself; words that one thing holds are that thing; words of several name them; others stay."""
    assert meant(judged(), "rest_volts") == "rest_volts"
    assert meant(judged(), "battery volts at rest") == "rest_volts"
    assert meant(judged(), "main link blown") == "main_link.blown"
    assert meant(judged(), "unicorn") == "unicorn"
    assert meant(judged(), "") == ""
    with pytest.raises(AnswerError) as refused:
        meant(judged(), "main link")
    assert "fits several" in refused.value.sentence


def test_answers_are_told_in_words() -> None:
    """Opening questions, history, checks and readings."""
    said = {
        ("raised", "none"): "How does the machine stand?",
        (COMPLAINT, "silent"): BOOK.complaints["silent"].name,
        ("volts", "12"): "Volts of the machine: 12",
        ("circuit", "start_relay"): BOOK.circuits["start_relay"].name,
        ("kit", "meter,lamp"): "multimeter",
        ("rest_volts@1", "12.61"): "12.61",
        ("starter_turn", "slow"): "turns slowly",
    }
    for (name, value), words in said.items():
        text = answer_in_words(judged(), name, value)
        assert words in text
        assert "_" not in text


def test_chances_are_never_none_and_never_all() -> None:
    """Rounding says neither that something cannot be nor that it must."""
    assert in_100(0.5) == "50 in 100"
    assert in_100(0.004) == "less than 1 in 100"
    assert in_100(0.9999) == "99 in 100"
    assert in_100(1) == "100 in 100"
    assert in_100(0) == "0 in 100"


@pytest.mark.parametrize(
    ("share", "word"),
    [(0, "hardly"), (0.1, "a little"), (0.33, "a third"), (0.5, "in half"), (0.75, "most"), (1, "nearly all")],
)
def test_worth_is_told_by_the_nearest_plain_share(share: float, word: str) -> None:
    """Each share that has a name of its own gets that name."""
    assert word in narrows(share)


@given(st.floats(0, 1), st.floats(0, 1))
def test_more_is_never_told_as_less(one: float, other: float) -> None:
    """The words go up with the share, and only a share close to all is told as nearly all."""
    ladder = [narrows(step / 1000) for step in range(1001)]
    low, high = sorted((one, other))
    assert ladder.index(narrows(low)) <= ladder.index(narrows(high))
    assert (narrows(high) == NEARLY_ALL) == (high >= 0.85)
