"""The hand-back: what is shown, in which order, what a failure and what is left open lead to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation, Question
from coldiron.agenda import preparing
from coldiron.agenda.proving import is_proven
from coldiron.book.duties import Duty
from coldiron.job.handing import pages_left, results
from coldiron.job.steps import AnswerStep
from coldiron.judging.composing import setup_of
from coldiron.machine.duties import SHOW, TICK, duties_of, page_id, pages_of, seen_by
from coldiron.machine.fitting import HAS, USUAL
from coldiron.machine.unasked import feature_that_tells
from coldiron.readings.findings import Understood
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Text
from coldiron.screens.script import ScriptError, TypedAnswer, follow, state_event
from support.hazards import DEADLY, neglected, shown_at
from support.mechanic import Job, Mechanic, shipped, work, worked
from support.wander import Wanderer, lesser

BOOK = shipped()
JOB: Job = worked("interlocks", "main_link.blown")

INTERLOCKS = {
    "neutral_switch": "neutral_refuses",
    "brake_switch": "brake_refuses",
    "seat_switch": "seat_refuses",
    "lever_switch": "lever_refuses",
    "start_switch": "control_refuses",
    "ground_side_switch": "control_refuses",
}
"""Switches in the start circuit, to either side of the coil, and the duty that shows each one refusing."""


@cache
def shown() -> Consultation:
    """Where the hand-back begins: proven, nothing shown yet."""
    return next(now for now in JOB.after if now.next and now.next.id.startswith(TICK))


def at(name: str, begin: Consultation | None = None, **said: str) -> Consultation:
    """The hand-back gone on with to a page, cautions acknowledged and everything else shown, save what is `said`."""
    now = begin or shown()
    for _ in range(60):
        if now.next is None or now.next.id == name:
            return now
        now = now.answer(now.next.id, said.get(now.next.id.partition(".")[2]) or JOB.mechanic.answer(now.next))
    raise AssertionError(name)


def ended(begin: Consultation | None = None, **said: str) -> Consultation:
    """The hand-back gone on with to its end."""
    return at("the end", begin, **said)


@pytest.mark.parametrize("circuit", list(BOOK.circuits))
def test_every_interlock_of_a_machine_is_shown_to_refuse(circuit: str) -> None:
    """By the parts of its circuit: a switch in the start wire has its refusal, what it has not is not asked for."""
    parts = {part.kind for section in BOOK.circuits[circuit].sections for part in BOOK.sections[section].parts}
    names = {duty.id for duty in duties_of(BOOK, circuit)}
    for duty in INTERLOCKS.values():
        assert (duty in names) == any(kind in parts for kind, other in INTERLOCKS.items() if other == duty)


@pytest.mark.parametrize("circuit", list(BOOK.circuits))
def test_few_pages_whatever_the_machine(circuit: str) -> None:
    """Two of ticks, charging, standing current, and one for each refusal and each setting besides the key."""
    pages = pages_of(duties_of(BOOK, circuit))
    assert [page_id(page).partition(".")[0] for page in pages[:2]] == ["tick", "tick"]
    own = [page for page in pages if len(page) == 1 and (page[0].keeps or page[0].state.keys() - {"key"})]
    assert len(pages) <= 4 + len(own)


@pytest.mark.parametrize("circuit", list(BOOK.circuits))
def test_each_interlock_is_shown_by_itself(circuit: str) -> None:
    """No tick says of two that they refuse, and how each is shown stands on its page (common practice, no source)."""
    for page in pages_of(duties_of(BOOK, circuit)):
        assert len(page) == 1 or not any(map(refusing, page))


def test_every_duty_is_on_one_page() -> None:
    """Nothing is lost or doubled by sharing pages out."""
    for circuit in BOOK.circuits:
        duties = duties_of(BOOK, circuit)
        assert tuple(one for page in pages_of(duties) for one in page) == duties


def refusing(duty: Duty) -> bool:
    """Whether START is given in a state that the machine is not handed back in."""
    states = [name for name, value in duty.state.items() if value != BOOK.settings[name].normal]
    return duty.state.get("key") == "start" and len(states) > 1


def test_before_a_refusal_is_shown_a_spotter_a_clear_space_and_chocks_are_seen() -> None:
    """OSHA safety bulletin of 12 January 2009 (interlocks); the words are those of the book's cautions."""
    asked = [question for question, _ in JOB.said]
    typed = {name for question in asked if question.kind == "caution" for name in question.acks}
    assert {"crank_area", "show_refusal", "roll_away"} <= typed
    for duty in BOOK.duties.values():
        if refusing(duty):
            grave = {name for name in duty.warns if BOOK.cautions[name].word in DEADLY}
            assert "show_refusal" in grave
            assert duty.keeps


def test_the_job_lists_what_was_shown_with_its_readings() -> None:
    """Every duty of the machine, the charging volts as they were read."""
    outcome = JOB.end.verdict
    assert outcome.status == "handed back"
    assert len(outcome.shown) == len(duties_of(BOOK, "interlocks"))
    assert "charging volts (14.1 V)" in outcome.shown
    assert (outcome.still_open, outcome.failed) == ((), ())
    page = JobDriver("a job", JOB.end).page()
    assert any(isinstance(block, Text) and "charging volts (14.1 V)" in block.text for block in page.blocks)
    assert state_event(JOB.end)["shown"] == list(outcome.shown)


def test_what_is_not_ticked_is_asked_by_itself() -> None:
    """The others count as shown."""
    now = shown().answer("tick.left_nothing", "3, 4, 5, 7, 8, 9")
    assert now.next
    assert now.next.id == "show.horn_shown"
    assert {result.duty.id for result in results(now.state)} >= {"lamps_shown", "wiggle_shown"}
    assert now.answer("show.horn_shown", "works").next == shown().answer("tick.left_nothing", "all").next


@pytest.mark.parametrize("word", ["skip", "cannot reach", "not sure"])
def test_a_page_that_is_passed_over_stays_open(word: str) -> None:
    """Each duty on it is told to the owner, with what must not be done until it was shown."""
    now = ended(shown().answer("tick.left_nothing", word))
    told = dict(now.verdict.still_open)
    for duty in ("dash_shown", "horn_shown", "wiggle_shown"):
        assert BOOK.duties[duty].until in told.values()
    assert now.verdict.status == "handed back"


@pytest.mark.parametrize("name", ["neutral_refuses", "brake_refuses", "seat_refuses"])
def test_an_interlock_that_was_not_shown_keeps_the_machine_out_of_service(name: str) -> None:
    """The last page says so, and what must not be done; it is not called handed back."""
    last = at("hand_back", shown(), **{name: "open"})
    assert last.next
    assert "must not be used" in last.next.text
    now = last.answer("hand_back", "done")
    assert now.verdict.status == "out of service"
    assert BOOK.duties[name].until in dict(now.verdict.still_open).values()
    said = " ".join(block.text for block in JobDriver("a job", now).page().blocks if isinstance(block, Text))
    assert BOOK.duties[name].until in said


@pytest.mark.parametrize("duty", duties_of(BOOK, "interlocks"), ids=lambda one: one.id)
def test_a_duty_that_fails_never_lets_the_machine_be_handed_back(duty: Duty) -> None:
    """Whatever is answered after it, short of changing it, another repair, or the book having nothing more to say."""
    page = next(page for page in pages_of(duties_of(BOOK, "interlocks")) if duty in page)
    now = at(page_id(page))
    if len(page) > 1:
        now = now.answer(page_id(page), ",".join(one.id for one in page if one is not duty))
    now = now.answer(SHOW + duty.id, "3" if duty.quantity else "fails")
    epochs = len(now.state.epochs)
    while now.next and len(now.state.epochs) == epochs and len(now.steps) < 150:
        assert now.next.id != "hand_back"
        assert now.verdict.status not in ("proven", "handed back", "out of service")
        now = now.answer(now.next.id, "no" if now.next.kind == "repair" else JOB.mechanic.answer(now.next), sure=True)
    if now.next is None:
        assert now.verdict.status == "needs"
        assert duty.otherwise in now.verdict.needs
        assert any(duty.name in name for name, _ in now.verdict.failed)


def test_an_engine_that_does_not_restart_goes_back_into_the_search() -> None:
    """What it does then takes the place of the proof, and something is suspected again."""
    now = at("tick.lets_go").answer("tick.lets_go", "lets_go,stop_shown")
    failed = now.answer("show.restarts_shown", "fails")
    assert failed.findings["starter_turn"] == "none"
    assert not is_proven(failed.judged) if failed.judged else False
    assert failed.next
    assert failed.next.kind in ("check", "caution", "intake", "repair")
    assert failed.suspects[0][1] > now.suspects[0][1]


def test_what_stops_the_engine_is_asked_once_it_does_not_fire() -> None:
    """No check of a plain machine tells why: it is asked how it is stopped, once, and not where a check tells."""
    said = Consultation(BOOK).answer("raised", "none").answer(USUAL, "small tractor").state.said
    asked = feature_that_tells(BOOK, said, {name for name, _ in BOOK.duties["fires_shown"].fails_as})
    assert asked
    assert asked.id == "stop_device"
    assert feature_that_tells(BOOK, {**said, HAS + asked.id: "not sure"}, {"fires_at_start"}) is None
    assert feature_that_tells(BOOK, said, {"rest_volts"}) is None


def test_a_short_in_the_standing_current_goes_back_into_the_search_and_a_lamp_left_on_does_not() -> None:
    """Amps of three figures are what the clamp would call a short; a third of an amp is for the fuses, one by one."""
    now = at("show.standing_amps")
    short = now.answer("show.standing_amps", "225", sure=True)
    assert short.findings["rest_amps"] == "short"
    assert short.next is not None
    assert short.suspects[0][1] > now.suspects[0][1]
    little = now.answer("show.standing_amps", "0.3", sure=True)
    assert "rest_amps" not in little.findings
    assert little.next is None
    assert BOOK.duties["standing_amps"].otherwise in little.verdict.needs


def test_a_figure_is_held_against_figures_of_its_own_kind_only() -> None:
    """Volts that are too low may stand for a finding in amps: nothing compares them."""
    charging = replace(BOOK.duties["charging_volts"], fails_as=(("rest_amps", "short"),))
    low = Understood("fails", 12.4)
    assert seen_by(BOOK, charging, low, 12, 1) == charging.fails_as
    assert seen_by(BOOK, replace(charging, quantity="amps"), low, 12, 1) == charging.fails_as
    assert seen_by(BOOK, replace(charging, quantity="amps"), Understood("fails", 0.4), 12, 1) == ()
    assert seen_by(BOOK, charging, Understood("works", 14.2), 12, 1) == ()


def test_a_lamp_that_was_mended_is_told_by_changing_the_answer() -> None:
    """Then the job goes on to its end."""
    now = shown().answer("tick.left_nothing", "3,4,6,7,8,9").answer("show.lamps_shown", "fails")
    stuck = ended(now)
    assert stuck.next is None
    assert BOOK.duties["lamps_shown"].otherwise in stuck.verdict.needs
    assert ended(stuck.change("show.lamps_shown", "works")).verdict.status == "handed back"


def test_what_cannot_be_read_without_kit_is_open_and_not_asked() -> None:
    """With nothing to read a standing current with, the isolator goes off."""
    kit = ",".join(name for name in BOOK.kits if name != "small_clamp")
    now = work(Mechanic(BOOK, "interlocks", frozenset(("main_link.blown",)), kit=kit)).end
    assert now.verdict.status == "handed back"
    assert [until for _, until in now.verdict.still_open] == [BOOK.duties["standing_amps"].until]


@pytest.mark.parametrize(
    ("said", "good"), [("13.5", False), ("13.6", True), ("14.2 V", True), ("14,5", True), ("14.7", False), ("0", False)]
)
def test_charging_volts_pass_within_their_band(said: str, *, good: bool) -> None:
    """13.6 to 14.6 V in the cab of a 12 V machine (common practice, no source)."""
    now = at("show.charging_volts").answer("show.charging_volts", said, sure=True)
    found = next(result for result in results(now.state) if result.duty.id == "charging_volts")
    assert (found.how == "shown") == good


def test_a_repair_after_the_hand_back_began_has_everything_shown_anew() -> None:
    """The last repair may have moved something."""
    now = at("show.neutral_refuses")
    again = now.answer(JOB.end.verdict.repaired[0], "done")
    while again.next and again.next.kind == "caution":
        again = again.answer(again.next.id, again.next.choices[0])
    if again.next and again.next.kind == "repair":
        again = again.answer(again.next.id, "done")
    assert again.state.present.shown == {}
    assert len(pages_left(again.state)) == len(pages_of(duties_of(BOOK, "interlocks")))


def test_what_was_shown_stays_set_as_it_was_where_the_machine_is_told_to_be_another() -> None:
    """Lever in for the brake, brake set for the seat: done and said so, though the other machine has neither switch."""
    now = at("show.standing_amps")
    before = now.state.settings
    assert before["neutral"] == "in"
    other = now.change("circuit", "direct_start")
    assert other.state.circuit != now.state.circuit
    assert "seat_refuses" not in {duty.id for duty in duties_of(BOOK, other.state.circuit)}
    assert {name: other.state.settings[name] for name in ("neutral", "park_brake", "seat")} == {
        name: before[name] for name in ("neutral", "park_brake", "seat")
    }
    assert "seat_refuses" not in other.state.present.shown


def test_nothing_is_shown_before_the_repair_is_proven() -> None:
    """Not even unasked; once a page is due, what was seen already may be told."""
    for now in JOB.after[: JOB.after.index(shown()) - 4]:
        with pytest.raises(AnswerError):
            now.answer("show.horn_shown", "works")
    assert shown().answer("show.horn_shown", "works").steps[-1].kind == "read"


def test_a_script_gives_every_caution_its_own_line() -> None:
    """A refusal is no more shown without its caution from a file than from the keyboard."""
    before = at("tick.lets_go")
    now = before.answer("tick.lets_go", "all")
    assert now.next
    assert now.next.kind == "caution"
    with pytest.raises(ScriptError):
        list(follow(now, [TypedAnswer(1, "show.neutral_refuses", "works")]))


def test_back_takes_one_page_back() -> None:
    """And asks it again."""
    now = shown().answer("tick.left_nothing", "all").back()
    assert now.next == shown().next
    assert now.state.present.shown == {}


def test_a_log_is_resumed_exactly() -> None:
    """From its steps alone, at each page."""
    for now in JOB.after[JOB.after.index(shown()) :]:
        again = Consultation(BOOK, now.steps)
        assert again.next == now.next
        assert again.verdict == now.verdict


def test_a_page_parked_asks_its_cautions_again() -> None:
    """The spotter may have gone home."""
    now = at("show.neutral_refuses").park().answer("away", "same")
    assert now.next
    assert now.next.kind == "caution"


def test_the_page_is_worked_out_alike_by_the_reckoning_of_hazards() -> None:
    """Both agree on what stands on a page, for every circuit."""
    for circuit in BOOK.circuits:
        begun = Consultation(BOOK).answer("raised", "none").steps
        steps = (*begun, AnswerStep("circuit", circuit))
        for page in pages_of(duties_of(BOOK, circuit)):
            assert tuple(shown_at(BOOK, steps, page_id(page))) == page


@cache
def begun(circuit: str) -> tuple[Consultation, Mechanic]:
    """A proven repair on a machine with few faults, and who did it."""
    book = lesser(circuit, 0)
    for fault in setup_of(book, circuit).machine.faults:
        job = work(Mechanic(book, circuit, frozenset((fault,))))
        for now in job.after:
            if now.next and now.next.id.startswith(TICK):
                return now, job.mechanic
    raise AssertionError(circuit)


def walked(circuit: str, seed: int) -> Iterator[Consultation]:
    """A hand-back gone through by somebody who answers, parks, changes and goes back at random."""
    begin, mechanic = begun(circuit)
    return (now for now, _ in Wanderer(mechanic, seed).walk(25, begin))


@settings(max_examples=8, deadline=None)
@given(st.sampled_from(list(BOOK.circuits)), st.integers(0, 1000))
def test_no_page_that_can_hurt_comes_without_its_caution(circuit: str, seed: int) -> None:
    """On random walks through the hand-back, by a reckoning of its own."""
    for now in walked(circuit, seed):
        assert neglected(now) == ()
        if now.state.handed_back:
            assert not now.verdict.failed


def test_pages_without_their_cautions_are_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same walks see it when the program forgets what is due before a page."""
    monkeypatch.setattr(preparing, "before_check", lambda *_: ())
    assert any(neglected(now) for seed in range(4) for now in walked("interlocks", seed))


def questions(job: Job) -> Iterator[Question]:
    return (asked for asked, _ in job.said if asked.id.startswith((SHOW, TICK)))


def test_each_page_is_in_plain_words() -> None:
    """No id shows, every choice has its words."""
    for asked in questions(JOB):
        for text in (asked.text, asked.how, asked.good, *asked.changes, *asked.meanings):
            assert "_" not in text
        assert asked.unit or len(asked.choices) == len(asked.meanings) >= 3
