"""What a machine has beside its circuit: asked once where the complaint makes it matter, and believed as told."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.book.joining import can_make
from coldiron.book.variants import circuit_named
from coldiron.job.state import KIT
from coldiron.machine.fitting import CIRCUIT, FITTED, HAS, USUAL, VOLTS, fitting, of_sort
from coldiron.readings.refusal import NOT_FITTED
from support.mechanic import shipped
from support.sizes import size

BOOK = shipped()
PLAIN = {"start_way": "one_switch", "cold_aid": "none", "jump_posts": "no"}
"""A tractor: a start relay behind one switch, and nothing else."""


def described(complaint: str) -> Consultation:
    """A job on a machine with a start relay, up to what comes after its complaint."""
    now = Consultation(BOOK).answer("raised", "none").answer(VOLTS, "12")
    while now.next and now.next.id.startswith(HAS):
        now = now.answer(now.next.id, PLAIN.get(now.next.id.removeprefix(HAS), "no"))
    assert now.state.circuit == "start_relay"
    return now.answer(COMPLAINT, complaint)


def test_it_is_asked_once_for_what_the_complaint_may_come_of() -> None:
    """A silent starter may be held by a key module; a dead machine may have its battery cut off."""
    now = described("silent")
    assert now.next
    assert now.next.id == FITTED
    assert {"coded_unit", "tracker", "lever_lock"} <= set(now.next.choices)
    assert "isolator_positive" not in now.next.choices
    dead = described("no_power").next
    assert dead
    assert {"isolator_positive", "isolator_ground"} <= set(dead.choices)
    assert now.answer(FITTED, "none").next != now.next


def test_an_engine_that_cranks_is_asked_for_what_lets_fuel_through() -> None:
    """The start circuit by itself cannot show it: it can be told all the same, and the stop device is asked for."""
    now = described("cranks_only")
    assert now.state.complaint == "cranks_only"
    assert now.next
    assert {"stop_one_winding", "stop_two_windings", "stop_fed_to_stop"} <= set(now.next.choices)
    told = now.answer(FITTED, "stop_two_windings")
    assert told.setup
    assert {"pull_coil", "hold_coil"} <= told.setup.machine.parts.keys()


def test_where_nobody_knows_what_lets_fuel_through_the_usual_is_taken_and_said() -> None:
    """Without it nothing on the machine could be what is wrong, and the starter that turns well would be blamed."""
    now = described("cranks_only")
    assert now.next
    assert "take a stop solenoid with one feed wire" in dict(now.next.pairs)["not sure"]
    assert now.answer(FITTED, "not sure").state.circuit == "start_relay+stop_one_winding"
    assert now.answer(FITTED, "none").state.circuit == "start_relay"


def test_what_is_told_is_on_the_machine_and_nothing_else() -> None:
    """Several at once; none, or nobody knows, leave the machine as it was described."""
    now = described("silent")
    both = now.answer(FITTED, "tracker, coded_unit")
    assert both.state.circuit == "start_relay+coded_unit+tracker"
    assert both.setup
    assert {"module", "cut_relay"} <= both.setup.machine.parts.keys()
    for nothing in ("none", "not sure"):
        after = now.answer(FITTED, nothing)
        assert after.state.circuit == "start_relay"
        assert after.next
        assert after.next.id == KIT
    changed = both.answer(KIT, "all").change(FITTED, "tracker")
    assert changed.state.circuit == "start_relay+tracker"
    assert Consultation(BOOK, changed.steps).state == changed.state


def test_one_who_names_the_machine_is_not_asked() -> None:
    """He knows it: by the list, or as the same as last time, options and all."""
    listed = Consultation(BOOK).answer("raised", "none").answer(VOLTS, "12")
    assert listed.next
    named = listed.answer(listed.next.id, "list").answer(CIRCUIT, "start_relay").answer(COMPLAINT, "silent")
    same = Consultation(BOOK, before="start_relay+tracker").answer("raised", "none").answer(CIRCUIT, "1")
    assert same.state.circuit == "start_relay+tracker"
    for now in (named, same.answer(COMPLAINT, "silent")):
        assert now.next
        assert now.next.id == KIT


@given(st.sampled_from(list(BOOK.circuits)), st.data())
@settings(max_examples=size(12, 40, 100))
def test_what_is_not_fitted_is_taken_away_and_nothing_comes_for_it(circuit: str, data: st.DataObject) -> None:
    """On a machine known by name as well; where only something else could stand in its place it is refused."""
    now = Consultation(BOOK).answer("raised", "none").answer(VOLTS, BOOK.circuits[circuit].volts)
    if now.next and now.next.id.startswith(HAS):
        now = now.answer(now.next.id, circuit)
    assert now.setup
    check = data.draw(st.sampled_from(now.setup.machine.checks))
    before = now.setup.machine.parts.keys()
    try:
        after = now.answer(check, NOT_FITTED)
    except AnswerError:
        return
    left = circuit_named(BOOK, after.state.circuit)
    assert left
    assert not can_make(BOOK.sections, left, BOOK.checks[check])
    assert after.setup
    assert after.setup.machine.parts.keys() < before


@pytest.mark.parametrize(
    ("circuit", "check", "left"),
    [
        ("start_relay", "start_switch", ""),
        ("interlocks", "seat_switch", ""),
        ("coded_start", "module_fuse", "coded_start-coded_unit"),
        ("interlocks", "isolator", "interlocks-isolator_positive"),
    ],
)
def test_a_switch_that_is_not_there_brings_no_others(circuit: str, check: str, left: str) -> None:
    """One switch less says nothing of the others; a module that is not there takes its own parts with it."""
    now = Consultation(BOOK).answer("raised", "none").answer(VOLTS, "12")
    assert now.next
    now = now.answer(now.next.id, circuit)
    assert now.setup
    parts = {name: (BOOK.checks[name].reads, name.partition(".")[2]) for name in now.setup.machine.checks}
    named = [name for name, (reads, own) in parts.items() if check in (reads.part, own, reads.a.partition(".")[0])]
    assert named
    for name in named:
        if left:
            assert now.answer(name, NOT_FITTED).state.circuit == left
        else:
            with pytest.raises(AnswerError):
                now.answer(name, NOT_FITTED)


@pytest.mark.parametrize("sort", ["forklift", "site_dumper", "big_tractor"])
def test_what_is_told_takes_the_place_of_what_such_a_machine_has_there(sort: str) -> None:
    """Some of the sort have a disconnect switch in the positive cable; its owner says: in the ground cable."""
    assert any("positive" in one.has["isolator"] for one in of_sort(BOOK, sort))
    said = fitting(BOOK, {USUAL: sort, FITTED: "isolator_ground", HAS + "interlocks": "several"})
    assert FITTED in said.counted
    assert any("-isolator_positive" in one.id for one in said.circuits)
    assert all("ground" in one.has["isolator"] for one in said.circuits)
