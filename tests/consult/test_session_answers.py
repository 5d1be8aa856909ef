"""What can be answered, how, and what is refused: an answer that cannot be taken changes nothing and says why."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation, Question
from coldiron.book.checks import UNITS
from coldiron.book.history import COMPLAINT
from coldiron.job.steps import AcknowledgeStep, AnswerStep, ReadingStep, RepairStep
from coldiron.judging.composing import setup_of
from support.mechanic import Job, Mechanic, shipped, worked

BOOK = shipped()
JOB: Job = worked("interlocks", "main_link.blown", "cab_feed.chafed")
"""One whole job, whose states the laws below are tried in."""


def at(kind: str, wanted: str = "") -> Consultation:
    """The job when it first asks something of a kind (and id)."""
    return next(c for c in JOB.after if c.next and c.next.kind == kind and wanted in ("", c.next.id))


PLACES = st.deferred(lambda: st.integers(0, len(JOB.after) - 1))
SHOWN = ("tick.left_nothing", "tick.lets_go", *(f"show.{name}" for name in BOOK.duties))


def opened(circuit: str = "start_relay", complaint: str = "silent") -> Consultation:
    """A job just after its opening questions."""
    answers = {"raised": "none", COMPLAINT: complaint, "volts": str(BOOK.circuits[circuit].volts)}
    now = Consultation(BOOK)
    for name, value in {**answers, "circuit": circuit, "kit": "all"}.items():
        now = now.answer(name, value)
    return now


def tried(step: Callable[[], Consultation]) -> Consultation | None:
    """What a step gives; None if it is refused, which it must be in a plain sentence."""
    try:
        return step()
    except AnswerError as error:
        if not plain(error.sentence) or str(error) != error.sentence:
            pytest.fail(f"not plain: {error.sentence!r}")
        return None


def plain(sentence: str) -> bool:
    """Whether a sentence begins with a capital, a quote or a figure, ends with a stop and is no traceback.

    What was typed stands in quotes, and may be any word.
    """
    own = re.sub("'.*'", "", sentence, flags=re.DOTALL)
    return bool(sentence) and sentence[-1] in ".?!" and not sentence[0].islower() and "Error" not in own


@settings(max_examples=200)
@given(
    PLACES,
    st.sampled_from(
        [*BOOK.checks, *BOOK.questions, *BOOK.cautions, *BOOK.faults, *SHOWN, "volts", "circuit", "kit", "hand_back"]
    )
    | st.text(max_size=8),
    st.text(max_size=12) | st.sampled_from(["1", "12", "done", "no", "none", "all", "12.6", "OL", "clear", "1e400"]),
)
def test_whatever_is_answered_is_taken_or_refused_in_a_sentence(place: int, name: str, value: str) -> None:
    """No other error than AnswerError; a refusal says what is wrong in plain words."""
    now = JOB.after[place]
    after = tried(lambda: now.answer(name, value))
    if isinstance(after, Consultation):
        assert after.steps[:-1] == now.steps
    assert now.steps == JOB.after[place].steps


@settings(max_examples=100)
@given(
    PLACES,
    st.sampled_from(
        [COMPLAINT, "volts", "circuit", "kit", "raised", "isolator_out_lamp", "hand_back", "undo.key", *SHOWN]
    ),
    st.text(max_size=12) | st.sampled_from(["1", "12", "24", "start_relay", "dark", "no", "slope", "silent", "meter"]),
)
def test_whatever_is_changed_is_taken_or_refused_in_a_sentence(place: int, name: str, value: str) -> None:
    """Likewise for `change`; what follows can be asked and judged."""
    now = JOB.after[place]
    after = tried(lambda: now.change(name, value))
    if isinstance(after, Consultation):
        assert after.next is None or isinstance(after.next, Question)
        assert after.verdict.status


def test_a_caution_takes_its_own_word_and_no_other() -> None:
    """The word of the state seen, in any case; not yes, not Enter, not the word of another caution."""
    now = next(c for c in JOB.after if c.next and c.next.kind == "caution" and not c.next.brief)
    assert now.next
    for word in ("yes", "", "1", "ok", "skip", "done", "chocked"):
        with pytest.raises(AnswerError) as refused:
            now.answer(now.next.id, word)
        assert refused.value.kind == "caution due"
        assert now.next.choices[0] in refused.value.sentence
    assert now.answer(now.next.id, now.next.choices[0].upper()).steps[-1].kind == "ack"


def test_safety_and_the_machine_cannot_be_left_open() -> None:
    """`not sure` is no answer to how the machine stands, nor to the sort of machine."""
    now = Consultation(BOOK)
    for word in ("not sure", "skip", "cannot reach"):
        with pytest.raises(AnswerError):
            now.answer("raised", word)
    now = now.answer("raised", "none").answer(COMPLAINT, "not sure")
    with pytest.raises(AnswerError):
        now.answer("volts", "not sure")


def test_one_unclear_beginning_of_a_choice_is_refused_with_what_it_could_be() -> None:
    """A beginning that several choices have names them."""
    with pytest.raises(AnswerError) as refused:
        Consultation(BOOK).answer("raised", "none").answer(COMPLAINT, "lamps")
    assert refused.value.kind == "not a choice"
    assert "silent" in refused.value.could_be


def test_a_question_of_another_machine_names_what_is_near() -> None:
    """A misspelt check names the one that was meant."""
    with pytest.raises(AnswerError) as refused:
        opened().answer("rest_volt", "12.6")
    assert refused.value.kind == "unknown question"
    assert "rest_volts" in refused.value.could_be


def test_before_the_machine_is_known_a_reading_is_kept() -> None:
    """It is judged as soon as there is a machine that it can have been taken on."""
    given = Consultation(BOOK).answer("rest_volts", "12.6")
    assert given.steps[-1] == ReadingStep("rest_volts", "12.6")
    assert given.findings == {}
    now = given.answer("raised", "none").answer("volts", "12").answer("circuit", "start_relay")
    assert now.findings["rest_volts"] == "full"


def test_a_reading_already_taken_is_taken_without_being_asked() -> None:
    """It is judged like any other, costs no minutes, moves no setting, and its check is not asked again."""
    now = opened(complaint="chatter")
    after = now.answer("rest_volts", "11.2")
    assert after.findings["rest_volts"] == "flat"
    assert dict(after.suspects)["battery.flat"] > dict(now.suspects)["battery.flat"]
    assert after.minutes == now.minutes
    assert after.state.settings == now.state.settings
    assert after.steps[-1] == ReadingStep("rest_volts", "11.2")


def test_several_readings_of_one_crank_are_all_judged() -> None:
    """Cranking volts, drops and speed taken at once are given one after another and all count."""
    now = opened(complaint="slow_crank")
    crank = [
        name
        for name in setup_of(BOOK, "start_relay").machine.checks
        if BOOK.checks[name].state.get("key") == "start" and BOOK.checks[name].reads.quantity in UNITS
    ][:4]
    assert len(crank) == 4
    hidden = Mechanic(BOOK, "start_relay", frozenset(("ground_cable.poor",)))
    for name in crank:
        now = now.answer(name, hidden.reads(BOOK.checks[name]), sure=True)
    assert set(crank) <= set(now.findings)
    assert all(now.next is None or now.next.id != name for name in crank)


def test_an_implausible_reading_is_questioned_once() -> None:
    """125 V on a 12 V machine is refused until it is said to be so; then it is kept as a reading in no band."""
    now = opened()
    with pytest.raises(AnswerError) as refused:
        now.answer("rest_volts", "125")
    assert refused.value.kind == "implausible"
    assert now.answer("rest_volts", "125", sure=True).findings["rest_volts"] == "odd"


def test_a_misread_text_is_marked_where_it_is_wrong() -> None:
    """The refusal keeps what was typed and the column of the fault."""
    with pytest.raises(AnswerError) as refused:
        opened().answer("rest_volts", "12.6 bar")
    assert refused.value.kind == "misread"
    assert refused.value.text == "12.6 bar"
    assert refused.value.place > 0


def test_a_repair_of_ones_own_needs_its_caution() -> None:
    """A repair nobody asked for is not taken as done before its cautions are acknowledged: they come next."""
    now = opened(complaint="chatter").answer("frost", "mild")  # what stands before every charge
    wanted = now.answer("battery.flat", "done")
    assert len(wanted.state.epochs) == 1
    assert wanted.next
    assert (wanted.next.kind, wanted.next.step) == ("caution", "battery.flat")
    assert wanted.back().next == now.next
    assert wanted.answer("battery.flat", "no").next == now.answer("battery.flat", "no").next
    ready = Consultation(BOOK, [*now.steps, AcknowledgeStep(tuple(BOOK.cautions), "", "")])
    after = ready.answer("battery.flat", "done")
    assert [epoch.repaired for epoch in after.state.epochs] == ["battery.flat", ""]


def test_changing_the_volts_asks_for_the_machine_again() -> None:
    """A 12 V circuit cannot stand on a 24 V machine: it is asked again, and all other answers are kept."""
    now = opened().answer("rest_volts", "12.6").change("volts", "24")
    assert now.next
    assert now.next.id.startswith("has.")
    fits = {name for name, circuit in BOOK.circuits.items() if circuit.volts == 24}
    assert set(now.question("circuit").choices) == {*fits, "not sure"}
    after = now.answer("circuit", "isolator_24")
    assert after.state.circuit == "isolator_24"
    assert after.state.complaint == "silent"


def test_a_log_of_an_older_book_never_stops_a_resume() -> None:
    """Checks, answers, settings, faults, kit and circuits that the present book has no more are passed over."""
    steps = [
        *JOB.end.steps[:10],
        AnswerStep("raised", "hovering"),
        AnswerStep("kit", "dowsing_rod"),
        AnswerStep("stood", "aeons"),
        AnswerStep("no_such_check", "12"),
        AnswerStep("undo.no_such_setting", "off"),
        AcknowledgeStep(("no_such_caution",), "", "yes"),
        RepairStep("no_such.fault", "done"),
        AnswerStep("isolator_out_lamp", "no such finding"),
        AnswerStep("start_from_seat", "cranks"),
    ]
    now = Consultation(BOOK, steps)
    assert now.next is not None
    assert now.verdict.status
    gone = Consultation(BOOK, [*steps, AnswerStep("circuit", "no_such_circuit")])
    assert gone.next
    assert gone.next.id.startswith("has.")
    lesser = replace(BOOK, faults={name: fault for name, fault in BOOK.faults.items() if fault.part != "cab_feed"})
    assert Consultation(lesser, JOB.end.steps).state.handed_back


def test_a_consultation_tells_how_it_stands() -> None:
    """Minutes grow, the repr names what is next, nothing is suspected before the machine is known."""
    assert Consultation(BOOK).suspects == ()
    assert Consultation(BOOK).verdict.status == "open"
    assert "next raised" in repr(Consultation(BOOK))
    assert "next nothing" in repr(JOB.end)
    minutes = [now.minutes for now in JOB.after]
    assert minutes == sorted(minutes)
    assert JOB.end.next is None
    assert JOB.end.verdict.repaired[-1] == "main_link.blown"
