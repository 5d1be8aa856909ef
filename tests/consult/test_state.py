"""What a log comes to: settings, minutes, epochs, what is still to be put back."""

from __future__ import annotations

import pytest

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.consult.fold import replay
from coldiron.job.cautions import target
from coldiron.job.reported import NOT_TOLD, to_confirm
from coldiron.job.steps import AcknowledgeStep, AnswerStep, BackStep, ParkStep, ReadingStep, RepairStep, Step
from coldiron.questions.kit import kit_of
from coldiron.questions.story import answers_of
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")
OPENING = (
    AnswerStep("raised", "none"),
    AnswerStep(COMPLAINT, "silent"),
    AnswerStep("volts", "12"),
    AnswerStep("circuit", "start_relay"),
    AnswerStep("kit", "all"),
)


def cranked() -> str:
    """A check with the key at START."""
    return next(name for name, check in BOOK.checks.items() if check.state.get("key") == "start" and not check.each)


def test_an_empty_log_is_a_machine_as_it_should_stand() -> None:
    """Every setting at normal, nothing to put back, no minutes."""
    state = replay(BOOK, ())
    assert state.settings == {name: setting.normal for name, setting in BOOK.settings.items()}
    assert state.undone == ()
    assert state.minutes == 0
    assert not state.handed_back


def test_a_reading_that_was_taken_implies_its_settings() -> None:
    """START is only held and springs back to ON, which stands on the list of what must be put back, until it is."""
    state = replay(BOOK, [*OPENING, AnswerStep(cranked(), "normal")])
    assert state.settings["key"] == "on"
    assert state.undone == (("key", "off"),)
    after = replay(BOOK, [*OPENING, AnswerStep(cranked(), "normal"), AnswerStep("set.key", "off")])
    assert after.undone == ()


@pytest.mark.parametrize("left", ["skip", "cannot reach", "not sure", "not fitted"])
def test_a_step_left_undone_moves_nothing(left: str) -> None:
    """No lead is off, no minute is spent; of what is not told by itself nobody knows how far it was set."""
    off = powerless()
    steps = [*OPENING, AnswerStep(off, left)]
    state = replay(BOOK, steps)
    assert state.settings == replay(BOOK, OPENING).settings
    assert state.minutes == replay(BOOK, OPENING).minutes
    assert state.opened == set()
    assert replay(BOOK, [*OPENING, AnswerStep(cranked(), left)]).settings["key"] == NOT_TOLD


def test_a_setting_that_was_said_stays_where_a_step_is_left_undone() -> None:
    """The lead that came off for a check is off, whether the check was made or not; putting it back is said too."""
    off = powerless()
    said = [*OPENING, AnswerStep(f"set.battery_lead@{off}", "off"), AnswerStep(off, "skip")]
    assert replay(BOOK, said).undone == (("battery_lead", "on"),)
    assert replay(BOOK, [*said, AnswerStep("set.battery_lead", "on")]).undone == ()


def test_where_somebody_else_was_at_it_nothing_is_told_any_more() -> None:
    """Until one look round tells what is not as usual."""
    touched: list[Step] = [*OPENING, ParkStep(), AnswerStep("away", "touched")]
    state = replay(BOOK, touched)
    assert set(state.settings.values()) == {NOT_TOLD}
    assert state.unseen
    looked = replay(BOOK, [*touched, AnswerStep("stands", "battery_lead")])
    assert (looked.settings["battery_lead"], looked.settings["main_link"]) == ("off", "in")
    assert not looked.unseen
    assert replay(BOOK, [*OPENING, ParkStep(), AnswerStep("away", "same")]).settings == replay(BOOK, OPENING).settings


def powerless() -> str:
    """A check that is made with the battery lead off and nothing else that is told by itself."""
    return next(
        name
        for name, check in BOOK.checks.items()
        if check.state.get("battery_lead") == "off" and check.reads.quantity == "ohms" and not check.each
    )


def test_a_reading_given_unasked_moves_nothing() -> None:
    """Neither settings nor minutes."""
    before, after = replay(BOOK, OPENING), replay(BOOK, [*OPENING, ReadingStep(cranked(), "not sure")])
    assert (after.settings, after.minutes) == (before.settings, before.minutes)


def test_the_way_to_a_state_is_paid_once() -> None:
    """A second check in the same state and area costs its own minutes alone, and START once more."""
    names = [
        name
        for name, check in BOOK.checks.items()
        if check.state == {"key": "start"} and check.area == BOOK.checks[cranked()].area and not check.each
    ]
    first = replay(BOOK, [*OPENING, AnswerStep(names[0], "0.2")]).minutes
    second = replay(BOOK, [*OPENING, AnswerStep(names[0], "0.2"), AnswerStep(names[1], "0.2")]).minutes
    assert second - first == pytest.approx(BOOK.checks[names[1]].minutes + BOOK.settings["key"].minutes)
    assert first > BOOK.checks[names[0]].minutes


def test_eyes_alone_put_no_lead_back() -> None:
    """With the battery lead off, a look anywhere leaves it off; the next meter reading with power wants it on."""
    look = next(
        name
        for name, check in BOOK.checks.items()
        if check.reads.quantity == "eye" and set(check.state.items()) == {("key", "off")} and not check.each
    )
    live = next(
        check
        for check in BOOK.checks.values()
        if check.reads.quantity == "volts" and not check.each and check.state.get("battery_lead", "on") == "on"
    )
    steps = [*OPENING, AnswerStep(powerless(), "OL"), AnswerStep(look, BOOK.checks[look].good)]
    settings = replay(BOOK, steps).settings
    assert settings["battery_lead"] == "off"
    assert ("battery_lead", "on") in to_confirm(BOOK, settings, target(BOOK, live, settings))


def test_a_look_with_the_key_turned_wants_the_power_on() -> None:
    """With the lead off START shows nothing: whatever only looks while the key is turned has it back on first."""
    turned = [
        check for check in BOOK.checks.values() if check.reads.quantity == "eye" and check.state.get("key") == "start"
    ]
    settings = replay(BOOK, [*OPENING, AnswerStep(powerless(), "OL")]).settings
    assert turned
    for check in turned:
        assert ("battery_lead", "on") in to_confirm(BOOK, settings, target(BOOK, check, settings)), check.id


def test_what_was_set_and_taken_back_is_not_known() -> None:
    """Who says that the lead is off has had his hands on it: taken back, it is neither off nor on, and stays so."""
    off = AnswerStep(f"set.battery_lead@{powerless()}", "off")
    once = replay(BOOK, [*OPENING, off, BackStep()])
    assert once.settings["battery_lead"] == NOT_TOLD
    assert once.undone == (("battery_lead", "on"),)
    twice = replay(BOOK, [*OPENING, AnswerStep("frost", "mild"), off, BackStep(), BackStep()])
    assert twice.settings["battery_lead"] == NOT_TOLD
    told = replay(BOOK, [*OPENING, off, BackStep(), AnswerStep("set.battery_lead", "on")])
    assert told.undone == ()


def test_a_step_that_was_taken_back_leaves_what_it_moved_unknown() -> None:
    """START was held, the lever was out, the brake was off: whoever takes the answer back has had his hands there."""
    once = replay(BOOK, [*OPENING, AnswerStep(cranked(), "normal"), BackStep()])
    assert once.settings["key"] == NOT_TOLD
    assert {name for name, value in once.settings.items() if value == NOT_TOLD} == {"key"}
    assert once.present.taken.keys() == replay(BOOK, OPENING).present.taken.keys()
    shown = AnswerStep("show.brake_refuses", "works")
    brake = replay(BOOK, [*OPENING[:3], AnswerStep("circuit", "interlocks"), shown, BackStep()])
    assert brake.settings["park_brake"] == NOT_TOLD
    assert ("park_brake", "set") in brake.undone


@pytest.mark.parametrize("step", [AnswerStep("rest_volts", "skip"), ReadingStep("crank_volts", "10.2")])
def test_what_moved_nothing_is_known_when_it_is_taken_back(step: Step) -> None:
    """A step left undone, and a reading that was only told, had no hands on the machine."""
    assert replay(BOOK, [*OPENING, step, BackStep()]).settings == replay(BOOK, OPENING).settings


def test_a_repair_begins_an_epoch_and_forgives_what_was_turned_down() -> None:
    """Readings after it stand apart; a repair turned down ends no epoch."""
    turned_down = replay(BOOK, [*OPENING, RepairStep("battery.flat", "no")])
    assert turned_down.declined == {"battery.flat"}
    assert len(turned_down.epochs) == 1
    done = replay(BOOK, [*OPENING, RepairStep("battery.flat", "no"), RepairStep("battery.worn", "done")])
    assert done.declined == set()
    assert [epoch.repaired for epoch in done.epochs] == ["battery.worn", ""]
    assert done.present.taken == {}


def test_parking_is_over_with_the_next_answer() -> None:
    """A parked job is parked until something is answered; a caution acknowledged before counts no more."""
    steps: list[Step] = [*OPENING, AcknowledgeStep(("crank_area",), "starter_turn", "clear"), ParkStep()]
    assert replay(BOOK, steps).parked
    assert replay(BOOK, steps).acks.held == frozenset()
    assert not replay(BOOK, [*steps, AnswerStep("stood", "weeks")]).parked


def test_several_answers_and_several_kits_are_read_by_commas() -> None:
    """By id, by words or by number; a word of no meaning is refused."""
    raised = BOOK.questions["raised"]
    assert answers_of(raised, "raised, slope") == ("raised", "slope")
    assert answers_of(raised, "1,2,2") == tuple(answer.id for answer in raised.answers[:2])
    assert kit_of(BOOK, "meter, lamp") == ("meter", "lamp")
    assert kit_of(BOOK, "all") == tuple(BOOK.kits)
    assert kit_of(BOOK, "none") == ()
    with pytest.raises(AnswerError):
        kit_of(BOOK, "meter, dowsing rod")
    with pytest.raises(AnswerError):
        answers_of(raised, "raised, hovering")


def test_the_pair_of_a_24_v_machine_counts_twice() -> None:
    """Batteries in series are those of the circuit; before it is known, those its volts speak of."""
    assert replay(BOOK, [AnswerStep("volts", "24")]).batteries == 2
    assert replay(BOOK, [AnswerStep("volts", "24"), AnswerStep("circuit", "isolator_24")]).batteries == 2
    assert replay(BOOK, OPENING).batteries == 1


def test_minutes_are_those_of_the_book() -> None:
    """A job costs at least what its checks and repairs cost."""
    taken = [name for epoch in JOB.end.state.epochs for name in epoch.taken if name in BOOK.checks]
    repaired = [epoch.repaired for epoch in JOB.end.state.epochs if epoch.repaired]
    least = sum(BOOK.checks[name].minutes for name in taken) + sum(BOOK.faults[n].what.minutes for n in repaired)
    assert JOB.end.minutes >= least
    assert Consultation(BOOK, JOB.end.steps).minutes == JOB.end.minutes
