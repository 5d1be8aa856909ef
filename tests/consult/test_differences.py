"""What an entry brought about, in sentences: withdrawn and new conclusions, moved suspects, answers that do not fit."""

from __future__ import annotations

from coldiron import Consultation
from coldiron.book.history import COMPLAINT
from coldiron.consult.differences import differences
from coldiron.job.steps import AnswerStep
from coldiron.telling.conclusions import in_words
from support.mechanic import Mechanic, shipped, worked

BOOK = shipped()
JOB = worked("start_relay", "relay_ground.off")


def opened(complaint: str = "silent", circuit: str = "start_relay") -> Consultation:
    values = {"raised": "none", COMPLAINT: complaint, "circuit": circuit, "kit": "all"}
    return Consultation(BOOK, [AnswerStep(name, value) for name, value in values.items()])


def test_an_entry_that_brings_nothing_says_nothing() -> None:
    """A note and the first answers leave no sentence."""
    now = opened()
    assert differences(now, now.note("a word")) == ()
    first = Consultation(BOOK)
    assert differences(first, first.answer("raised", "none")) == ()


def test_advice_is_said_once() -> None:
    """When it first holds, not at every later entry."""
    told: list[str] = []
    for before, after in zip(JOB.after, JOB.after[1:], strict=False):
        told += differences(before, after)
    advice = (
        [text for text in told if text in {a.text for a in JOB.end.judged.directives.advice}] if JOB.end.judged else []
    )
    assert len(advice) == len(set(advice))


def test_a_changed_answer_says_which_suspects_moved() -> None:
    """The furthest first, at most three, with both chances."""
    now = opened("chatter").answer("rest_volts", "11.1")
    after = now.change("rest_volts", "12.7")
    said = differences(now, after)
    moved = [line for line in said if " before, " in line]
    assert moved
    assert moved[0].startswith(BOOK.faults["battery.flat"].name)
    assert len(moved) <= 3


def test_a_changed_answer_names_what_was_withdrawn_with_its_reason() -> None:
    """A conclusion of a rule that falls is named, in words and not in ids."""
    now = opened("chatter").answer("rest_volts", "11.1")
    said = " ".join(differences(now, now.change("rest_volts", "12.7")))
    assert "Withdrawn" in said or "Now" in said
    assert "_" not in said


def test_going_back_says_what_was_withdrawn_too() -> None:
    """Going back over a reading is a change like any other."""
    now = opened("chatter").answer("rest_volts", "11.1")
    assert differences(now, now.back())


def test_a_withdrawn_verdict_is_named() -> None:
    """When the reading it rests on is changed."""
    before = next(now for now in JOB.after if now.next and now.next.kind == "repair")
    after = before
    for name in before.findings:
        if name in BOOK.checks:
            after = after.change(name, "not sure")
    said = differences(before, after)
    assert any(line.startswith("No longer named as the cause: ") for line in said)


def test_answers_that_do_not_fit_are_doubted_by_name() -> None:
    """A dead battery that lights the lamps and cranks: the odd one out is named, with how to change it."""
    now = opened("silent")
    mechanic = Mechanic(BOOK, "start_relay", frozenset(("relay_ground.off",)))
    told: list[str] = []
    for name, value in [("rest_volts", "4.2")] + [
        (asked.id, mechanic.reads(BOOK.checks[asked.id])) for asked, _ in JOB.said if asked.kind == "check"
    ]:
        if name in now.findings:
            continue
        after = now.answer(name, value, sure=True)
        told += differences(now, after)
        now = after
    doubts = [line for line in told if "do not fit" in line]
    assert doubts
    assert any(f"{BOOK.checks['rest_volts'].ask}: 4.2" in line and "type: change" in line for line in doubts)


def test_conclusions_are_told_in_words() -> None:
    """Facts, findings, actions, cautions, repairs, history: in the words of the book, and what it does not know too."""
    state = opened().state
    assert in_words(state, ("fact", "battery_too_low")) == BOOK.facts["battery_too_low"].name
    assert in_words(state, ("finding", "rest_volts", "flat")).startswith("Battery volts at rest, post to post: flat (")
    assert in_words(state, ("finding", "rest_volts", "odd")).endswith("in no known range")
    assert in_words(state, ("require", "rest_volts")).endswith(BOOK.checks["rest_volts"].ask)
    assert in_words(state, ("warn", "crank_area")) == f"caution: {BOOK.cautions['crank_area'].hazard}"
    assert in_words(state, ("repaired", "battery.flat")).endswith("fixed")
    assert in_words(state, ("complaint", "silent")) == BOOK.complaints["silent"].name
    assert in_words(state, ("history", "how_stopped", "working")) != "working"
    assert in_words(state, ("fact", "no_such_fact")) == "fact no such fact"


def test_what_was_taken_back_is_named() -> None:
    """A reading in words, a change with both values, an acknowledgement by its word, a repair by its name."""
    now = opened("chatter").answer("rest_volts", "11.1")
    assert "Taken back: Battery volts at rest, post to post: 11.1." in differences(now, now.back())
    changed = now.change("rest_volts", "12.7")
    assert "Changed: Battery volts at rest, post to post: 11.1; now 12.7." in differences(now, changed)
    assert "Changed back: Battery volts at rest, post to post: 12.7; now 11.1." in differences(changed, changed.back())
    for (asked, said), after in zip(JOB.said, JOB.after[1:], strict=True):
        if asked.kind == "caution" and after.judged:
            assert f"Taken back: '{said}'." in differences(after, after.back())
        elif asked.kind == "repair":
            named = BOOK.faults[asked.id].name
            assert f"Taken back: the fix for {named}." in differences(after, after.back())


def test_answers_that_fit_again_after_a_change_are_said_to() -> None:
    """Once the wrong reading is changed, the contradiction is over."""
    now = opened("silent").answer("rest_volts", "4.2", sure=True)
    mechanic = Mechanic(BOOK, "start_relay", frozenset(("relay_ground.off",)))
    for asked, _ in JOB.said:
        if asked.kind == "check" and asked.id not in now.findings:
            now = now.answer(asked.id, mechanic.reads(BOOK.checks[asked.id]), sure=True)
    assert now.judged
    assert now.judged.contradiction
    assert "The readings fit together again." in differences(now, now.change("rest_volts", "12.6"))
