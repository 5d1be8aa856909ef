"""Why: sentences from the records behind every question, suspicion, caution and conclusion."""

from __future__ import annotations

import pytest

from coldiron import AnswerError, Consultation
from coldiron.consult.naming import answer_in_words, meant
from coldiron.job.shares import in_100, settled
from coldiron.judging.setup import setup_of
from coldiron.model import COMPLAINT
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")
JUDGED = next(now for now in JOB.after if now.next and now.next.kind == "check")


def test_every_step_of_a_job_says_why_it_is_asked() -> None:
    """At each question at least one sentence, with a source where the book stands behind it."""
    for now in JOB.after:
        if now.next is None:
            continue
        lines = now.why()
        assert lines
        assert all(line.strip() for line in lines)
        if now.next.kind == "check":
            assert any("Source" in line for line in lines)
        assert not any("bits" in line for line in lines)


def test_every_caution_of_a_page_is_explained() -> None:
    """`why` before a step gives the harm and the source of all that is due, not of the first alone."""
    pages = [now for now in JOB.after if now.next and now.next.kind == "caution" and len(now.next.cautions) > 1]
    assert pages
    for now in pages:
        told = " ".join(now.why())
        assert now.next
        for caution in now.next.cautions:
            assert caution.harm in told
            assert caution.source in told


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
        lines = JUDGED.why(name)
        assert lines or name in machine.parts
        assert all(lines)


def test_what_is_not_known_names_what_is_near() -> None:
    """A slip of the finger gets the nearest names."""
    with pytest.raises(AnswerError) as refused:
        JUDGED.why("rest_vols")
    assert "rest_volts" in refused.value.could_be


def test_a_suspicion_is_told_by_its_readings() -> None:
    """Each reading that moved it, which way, and the history behind it."""
    before = next(now for now in JOB.after if now.next and now.next.kind == "repair")
    lines = before.why("main_link.blown")
    assert lines[0].startswith(BOOK.faults["main_link.blown"].name)
    assert any("speaks for it" in line for line in lines)
    shifted = JUDGED.answer("how_stopped", "working").why("main_link.blown")
    assert any("History" in line for line in shifted) or shifted


def test_what_each_answer_would_tell_adds_up() -> None:
    """The chances of the findings of a check come to about all, each with the parts that would then lead."""
    lines = JUDGED.told()
    assert len(lines) >= 2
    shares = [line.split("(")[-1].split(" in 100")[0] for line in lines]
    assert sum(int(share) for share in shares if share.isdecimal()) == pytest.approx(100, abs=4)
    assert all(": then " in line for line in lines)


def test_only_a_check_of_a_known_machine_tells_anything() -> None:
    """Before the machine is known, and for a caution, there is nothing to foresee."""
    with pytest.raises(AnswerError):
        Consultation(BOOK).told()
    with pytest.raises(AnswerError):
        JUDGED.told("crank_area")


def test_what_history_would_tell_is_told_by_the_faults_it_speaks_of() -> None:
    """Each answer with the faults of this machine that it makes likelier or less likely."""
    lines = JUDGED.told("how_stopped")
    assert len(lines) == len(BOOK.questions["how_stopped"].answers)
    assert any("likelier: the main link: blown" in line or "likelier" in line for line in lines)


def test_words_find_what_was_meant() -> None:
    """An id is itself; words that one thing holds are that thing; words of several name them; others stay."""
    assert meant(JUDGED, "rest_volts") == "rest_volts"
    assert meant(JUDGED, "battery volts at rest") == "rest_volts"
    assert meant(JUDGED, "main link blown") == "main_link.blown"
    assert meant(JUDGED, "unicorn") == "unicorn"
    assert meant(JUDGED, "") == ""
    with pytest.raises(AnswerError) as refused:
        meant(JUDGED, "main link")
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
        text = answer_in_words(JUDGED, name, value)
        assert words in text
        assert "_" not in text


def test_chances_are_never_none_and_never_all() -> None:
    """Rounding says neither that something cannot be nor that it must."""
    assert in_100(0.5) == "50 in 100"
    assert in_100(0.004) == "less than 1 in 100"
    assert in_100(0.9999) == "99 in 100"
    assert in_100(1) == "100 in 100"
    assert in_100(0) == "0 in 100"


def test_worth_is_a_share_of_the_doubt() -> None:
    """One bit of two equal suspects is all of the doubt, half a bit half; no doubt is no trouble."""
    even = (("a", 0.5), ("b", 0.5))
    assert settled(1.0, even, 0.0) == "about 100 in 100 of the doubt"
    assert settled(0.5, even, 0.0) == "about 50 in 100 of the doubt"
    assert settled(0.0, (("a", 1.0),), 0.0) == "about 1 in 100 of the doubt"
    assert settled(0.5, (), 0.0) == "about 1 in 100 of the doubt"
