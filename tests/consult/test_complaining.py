"""Which complaints are offered: what parts that are not there would show is not asked of a machine."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.book.history import COMPLAINT
from coldiron.job.steps import AnswerStep
from coldiron.judging.composing import setup_of
from coldiron.machine.complaining import complaints_of
from support.mechanic import Mechanic, shipped, work
from support.sizes import few

BOOK = shipped()
OF_RUNNING = {"cranks_only", "dies_at_release", "will_not_stop"}
NOT_STANDING_STILL = {"comes_and_goes", "flat_again"}


def offered(circuit: str) -> tuple[str, ...]:
    """The complaints that can be chosen once the machine is known."""
    asked = Consultation(BOOK, [AnswerStep("raised", "none"), AnswerStep("circuit", circuit)]).next
    assert asked is not None
    assert asked.id == COMPLAINT
    return asked.choices


def test_all_are_offered_while_the_machine_is_not_known() -> None:
    """Nothing is left out before it is known which parts there are."""
    assert [complaint.id for complaint in complaints_of(BOOK, "")] == list(BOOK.complaints)


@pytest.mark.parametrize("circuit", few(BOOK.circuits, 6))
def test_what_a_machine_can_be_told_of_can_be_chosen(circuit: str) -> None:
    """Whatever a single fault of it most likely does is among the choices, or the first of those that are alike."""
    table = setup_of(BOOK, circuit).table
    names = table.findings(COMPLAINT)
    told = set()
    for fault in setup_of(BOOK, circuit).machine.faults:
        row = table.chances(COMPLAINT, frozenset((fault,)))
        told.add(names[max(range(len(row)), key=row.__getitem__)])
    assert told - {names[-1]} <= set(offered(circuit))


@pytest.mark.parametrize("circuit", few(BOOK.circuits, 6))
def test_what_no_single_fault_makes_likelier_is_not_offered(circuit: str) -> None:
    """A complaint left out tells nothing of this machine that those offered do not tell as well."""
    table = setup_of(BOOK, circuit).table
    faults = [frozenset((fault,)) for fault in setup_of(BOOK, circuit).machine.faults]
    columns = {name: [table.chances(COMPLAINT, one)[n] for one in faults] for n, name in enumerate(BOOK.complaints)}
    kept = [columns[name] for name in offered(circuit) if name in columns]
    for name in columns.keys() - set(offered(circuit)):
        alike = any(columns[name] == pytest.approx(one) for one in kept)
        assert alike or max(columns[name]) == pytest.approx(min(columns[name]))


def test_an_engine_that_cranks_is_only_told_of_where_the_machine_says_more() -> None:
    """No line of running on a machine of which only the start circuit is known; the solenoid brings its own."""
    assert not OF_RUNNING & set(offered("start_relay"))
    assert {"cranks_only", "dies_at_release"} <= set(offered("fed_to_run"))


def test_a_relay_that_is_not_there_does_not_click() -> None:
    """Without a start relay its click cannot be heard, so silence is offered once."""
    assert "relay_click" not in offered("direct_start")
    assert "relay_click" in offered("start_relay")


@pytest.mark.parametrize("circuit", few(BOOK.circuits, 6))
def test_what_does_not_stand_still_is_told_of_every_machine(circuit: str) -> None:
    """It needs no part to be seen at."""
    assert set(offered(circuit)) >= NOT_STANDING_STILL


@pytest.mark.parametrize("complaint", sorted(NOT_STANDING_STILL))
def test_such_a_complaint_leaves_every_look_open(complaint: str) -> None:
    """It says nothing of now, so what other complaints are told by can still be looked at."""
    job = work(Mechanic(BOOK, "start_relay", frozenset({"battery.worn"}), complaint=complaint))
    assert job.status == "handed back"
    assert "battery.worn" in job.mechanic.repaired
    judged = Consultation(BOOK, job.end.steps[:6]).judged
    assert judged is not None
    assert "dash_lamps_on" in {offer.check for offer in judged.offers}


@pytest.mark.parametrize("circuit", few(BOOK.circuits, 6))
def test_what_the_tool_does_not_cover_is_said_where_the_complaint_is_asked(circuit: str) -> None:
    """An engine that cranks and does not start is offered, or it is said that such faults are not in the book."""
    asked = Consultation(BOOK, [AnswerStep("raised", "none"), AnswerStep("circuit", circuit)]).next
    assert asked is not None
    assert ("Not covered here" in asked.text) is not bool(OF_RUNNING & set(asked.choices))
