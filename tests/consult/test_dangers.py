"""When a danger is told, what it bars, what lifts it: one job at a time."""

from __future__ import annotations

import pytest

from coldiron import AnswerError, Consultation
from coldiron.job.cautions import target
from coldiron.job.steps import AnswerStep
from support.mechanic import shipped

BOOK = shipped()


def opened(circuit: str = "start_relay", complaint: str = "silent", raised: str = "none") -> Consultation:
    """A job up to its first step, everything at hand."""
    now = Consultation(BOOK)
    for name, value in (("raised", raised), ("volts", "12"), ("has.start_way", circuit), ("complaint", complaint)):
        now = through(now).answer(name, value)
    return through(now).answer("kit", "all")


def through(now: Consultation) -> Consultation:
    """The same, once what to do this second and the cautions due are gone through."""
    while now.next is not None and now.next.kind in ("now", "caution"):
        now = now.answer(now.next.id, now.next.choices[0])
    return now


def standing(now: Consultation) -> set[str]:
    """The dangers that stand."""
    assert now.judged is not None
    return {one.danger.id for one in now.judged.dangers}


def offered(now: Consultation) -> set[str]:
    """The checks that may be asked."""
    assert now.judged is not None
    return {offer.check for offer in now.judged.offers}


def test_the_first_page_after_it_is_told_says_what_to_do_this_second() -> None:
    """Smoke before the cautions, the starter that does not stop before the kit: no list stands between."""
    smoke = Consultation(BOOK).answer("raised", "smoking").next
    assert smoke
    assert (smoke.kind, smoke.id) == ("now", "now.heat_now")
    now = Consultation(BOOK)
    for name, value in (("raised", "none"), ("volts", "12"), ("has.start_way", "start_relay")):
        now = now.answer(name, value)
    turning = now.answer("complaint", "starter_runs_on").next
    assert turning
    assert (turning.kind, turning.id) == ("now", "now.starter_runs_on")
    assert "Disconnect switch off at once" in turning.text


def passed_on(now: Consultation, how: str) -> Consultation:
    """The job after something that says nothing of the machine."""
    if how == "back":
        return now.back()
    if how == "park":
        return now.park()
    if how == "change":
        return now.change("link_place_lamp", "not sure")
    asked = through(now).next
    assert asked
    return through(now).answer(asked.id, "skip")


@pytest.mark.parametrize("after", ["back", "change", "park", "skip"])
def test_a_bright_lamp_in_the_place_of_the_link_holds(after: str) -> None:
    """Neither taken back, nor changed to 'not sure', nor parked, nor passed over: no power on it, no new link."""
    told = opened().answer("link_place_lamp", "bright")
    now = passed_on(told, after)
    assert "lamp_says_short" in standing(now)
    assert "rest_volts" not in offered(now)
    with pytest.raises(AnswerError, match="bright"):
        now.answer("main_link.blown", "done")


def test_with_a_short_behind_the_link_no_step_asks_for_the_link_in_and_the_short_can_be_looked_for() -> None:
    """Even with the ground lead off. What reads the same with the link out leaves it out."""
    set_so = (AnswerStep("set.battery_lead@stud_ohms", "off"), AnswerStep("set.main_link@stud_ohms", "out"))
    told = Consultation(BOOK, (*opened().steps, *set_so))
    now = through(told.answer("dead_side_ohms.main_link", "0.5"))
    assert "short_behind_link" in standing(now)
    assert now.state.settings["main_link"] == "out"
    moved = {name: target(BOOK, BOOK.checks[name], now.state.settings)["main_link"] for name in offered(now)}
    assert set(moved.values()) == {"out"}
    assert {"start_wire_ohms", "stud_ohms"} <= moved.keys()
    assert "fuse_load_ohms.key_fuse" not in moved


def test_what_was_measured_later_lifts_it_and_a_slip_of_the_finger_is_put_right() -> None:
    """A dark lamp after the repair of the wire; a wrong key, changed to what was meant."""
    told = through(opened().answer("link_place_lamp", "bright"))
    mended = told.answer("key_feed_wire.chafed", "done")
    while mended.next is not None and mended.next.kind != "check":
        mended = mended.answer(mended.next.id, mended.next.choices[0])
    assert "lamp_says_short" in standing(mended)
    assert mended.next
    assert mended.next.id == "link_place_lamp"
    assert "lamp_says_short" not in standing(mended.answer("link_place_lamp", "dark"))
    assert "lamp_says_short" not in standing(told.change("link_place_lamp", "dark"))


def test_a_bulged_battery_is_changed_and_never_charged_or_read_away() -> None:
    """TM 9-6140-200-14 on frozen batteries: only a new one, looked at, ends it; another repair does not."""
    told = through(opened().answer("battery_look.battery", "bulged"))
    with pytest.raises(AnswerError, match="bulged"):
        told.answer("battery.flat", "done")
    with pytest.raises(AnswerError, match="bulged"):
        told.answer("crank_volts", "10.2")
    assert "bulged_battery" in standing(told.answer("rest_volts", "12.65"))


def test_what_could_make_the_first_start_dangerous_is_asked_before_it() -> None:
    """Nobody is asked for START before what is in the engine was asked; who does not know it waits with START."""
    now = opened()
    assert now.next
    assert now.next.id == "controls_look"  # how the controls stand is seen with the key off
    now = now.answer("controls_look", "set")
    while now.next and now.next.id != "engine_inside":  # what the owner can tell may come first, nothing at the machine
        assert now.next.kind == "intake"
        now = now.answer(now.next.id, "not sure")
    assert now.next
    waits = now.answer("engine_inside", "not sure")
    states = [BOOK.checks[name].state for name in offered(waits)]
    assert states
    assert not any(state.get("key") == "start" for state in states)
    free = waits.answer("bar_engine", "free")
    assert any(BOOK.checks[name].state.get("key") == "start" for name in offered(free))


def test_a_battery_found_flat_is_no_proof_at_start() -> None:
    """TM 5-3895-383-24 problem 29: charge first. A clamp is mended, and the posts are read before it is cranked."""
    now = opened().answer("frost", "mild").answer("engine_inside", "sound").answer("rest_volts", "11.5")
    mended = now.answer("positive_joint.film", "done")
    while mended.next is not None and mended.next.kind in ("caution", "repair", "now"):
        mended = mended.answer(mended.next.id, mended.next.choices[0])
    assert mended.next
    assert mended.next.id == "rest_volts"


def test_that_it_smokes_no_more_is_no_reading() -> None:
    """Who comes back another day tells anew how it stands; power still waits for what is measured."""
    now = opened(raised="smoking").park().answer("away", "day")
    assert now.next
    now = through(now.answer("raised", "none"))
    assert "heat_now" in standing(now)
    for name, value in (("hot_look", "cold"), ("dead_side_ohms.main_link", "400"), ("stud_ohms", "400")):
        now = through(now).answer(name, value)
    assert "heat_now" not in standing(now)


@pytest.mark.parametrize("seen", ["bulged", "post_moves"])
def test_what_a_battery_that_may_burst_warns_of_stands_before_every_step(seen: str) -> None:
    """Common practice, no source: no START on it, and that it bursts is said whatever is done beside it."""
    now = opened().answer("battery_look.battery", seen)
    assert standing(now) == {"bulged_battery"}
    while (asked := through(now).next) is not None and asked.kind == "intake":  # what is only asked hurts nobody
        now = through(now).answer(asked.id, "not sure")
    assert asked is not None
    assert "frozen_battery" in {caution.id for caution in asked.cautions}
    assert not [name for name in offered(now) if BOOK.checks[name].state.get("key") == "start"]


@pytest.mark.parametrize(
    ("check", "value"), [("rest_volts", "-12.7"), ("rest_amps", "60"), ("stud_ohms", "0.1"), ("hot_look", "hot")]
)
def test_no_start_is_held_on_a_danger_of_power_whatever_is_said_of_the_lead(check: str, value: str) -> None:
    """Where the lead cannot be taken off it stays on: START is barred all the same, also where eyes or ears read it."""
    now = opened().answer(check, value, sure=True)
    assert now.next
    told = now.answer(now.next.id, "cannot") if now.next.kind == "now" else now
    held = {name for name, one in BOOK.checks.items() if one.state.get("key") in ("on", "start")}
    assert {"start_from_seat", "relay_swap"} <= held
    assert not offered(told) & {name for name in held if BOOK.checks[name].state.get("battery_lead") != "off"}
