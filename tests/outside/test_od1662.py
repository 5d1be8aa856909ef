"""US Army subcourse OD1662, lesson 1 task 2, steps 11 to 17: a 24 V truck that does not crank, reading by reading.

Read in a stored copy: armyordnance.tpub.com/OD16628/OD166280050.htm (steps 1 to 10 are not in the store). It is the one
example in print that records what one machine showed from end to end. It ends at the starter, and never looks at the
ground side.
"""

from __future__ import annotations

from functools import cache

import pytest

from coldiron import Consultation
from support.mechanic import Mechanic, work
from support.shop import begin, blamed, finding, first_part, part_chance, told, worked_out

GOOD = (22.0, 28.0)  # what counts as a good reading there (read)

FOUND = {
    "rest_volts": "25.5",  # wire 5 (read)
    "relay_feed_lamp": "bright",  # starter relay, supply, switch at START: 25.5 V (read), by lamp here
    "relay_coil_volts": "25.5",  # starter relay, input (read)
    "relay_out_volts": "25.5",  # starter relay, output at START (read)
    "starter_stud_lamp": "bright",  # plus stud of the solenoid has voltage (read)
    "s_terminal_volts": "24.0",  # wire 45 at the solenoid while cranking, 24 V or more (read)
}
"""The readings of the narrative as checks of the book; the engine stood still all the while."""


@cache
def at_the_end_of_the_narrative() -> Consultation:
    return told(begin("isolator_24", "relay_click"), FOUND)


@pytest.mark.parametrize("check", ["relay_coil_volts", "relay_out_volts", "s_terminal_volts"])
def test_what_the_narrative_calls_good_is_live_in_the_book(check: str) -> None:
    """22 V and the 25.5 V found; 28 V would be a running alternator, and is no reading of a dead machine."""
    assert finding(check, GOOD[0], 24) == "live"
    assert finding(check, 25.5, 24) == "live"
    assert finding(check, GOOD[1], 24) != "live"


def test_every_place_good_and_no_turn_is_the_starter() -> None:
    job = at_the_end_of_the_narrative()
    assert first_part(job) == "starter"
    assert part_chance(job, "starter") > 0.8


def test_nothing_upstream_stays_suspect() -> None:
    """No wire, switch or relay before the starter keeps more than one chance in twenty."""
    job = at_the_end_of_the_narrative()
    parts = {fault.partition(".")[0] for fault, _ in job.suspects} - {"starter"}
    assert max(part_chance(job, part) for part in parts) < 0.05


def test_the_narrative_condemns_too_early() -> None:
    """It never measures the ground side; the job goes on to it before the starter is blamed (see the next test)."""
    job = at_the_end_of_the_narrative()
    assert job.verdict.status == "open"
    assert "ground_path_drop" not in job.findings
    assert "ground_path_drop" in worked_out(job, "starter.brushes").findings


@pytest.mark.parametrize("fault", ["starter.brushes", "starter.pull_in_open"])
def test_with_the_ground_proven_the_published_cause_comes_out(fault: str) -> None:
    done = worked_out(at_the_end_of_the_narrative(), fault)
    assert blamed(done) == {"starter"}
    assert done.findings["ground_path_drop"] == "sound"


@pytest.mark.parametrize("fault", ["engine_strap.gone", "starter_face.painted"])
def test_a_lost_ground_gives_the_same_narrative_and_is_found(fault: str) -> None:
    """Every reading against the battery minus post is as good with the starter's ground gone; the starter is spared.

    The volts at START are this machine's own: 25.5 V at 25.5 V of rest is of one that draws next to nothing.
    """
    at_rest = {check: said for check, said in FOUND.items() if check == "rest_volts" or said == "bright"}
    done = worked_out(told(begin("isolator_24", "relay_click"), at_rest), fault)
    assert blamed(done) == {fault.partition(".")[0]}


def test_the_truck_is_repaired_proved_and_handed_back() -> None:
    """The whole job: the published cause is repaired, the engine cranks, everything fitted or taken off is put back."""
    job = at_the_end_of_the_narrative()
    done = work(Mechanic(job.book, "isolator_24", frozenset({"starter.brushes"})), begin=job).end
    assert done.verdict.status == "handed back"
    assert {fault.partition(".")[0] for fault in done.verdict.repaired} == {"starter"}
