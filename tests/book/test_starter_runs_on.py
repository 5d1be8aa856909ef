"""A starter that goes on turning is found with the power gone, whatever keeps it turning and whoever hears it."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.job.cautions import before_check, before_repair
from coldiron.machine.duties import as_check, duties_of, page_id, pages_of
from support import found, shop
from support.mechanic import Job, shipped, work, worked
from support.sizes import LEVEL

BOOK = shipped()
KEEP_IT_TURNING = ("start_relay.welded", "starter.welded", "key_start.sticks")
MACHINES = ("direct_start", "start_relay", "isolator_24", "generating_set", "controller_start")
HIDDEN = [(one, fault) for one in MACHINES for fault in KEEP_IT_TURNING if fault in shop.machine(one).faults]


def asked_until_a_repair(circuit: str, fault: str) -> list[Consultation]:
    """A job from its first question to the repair it comes to, both included."""
    him = found.mechanic(circuit, [fault], seed=3)
    jobs = [Consultation(BOOK)]
    while (asked := jobs[-1].next) is not None and asked.kind != "repair":
        jobs.append(jobs[-1].answer(asked.id, him.answer(asked), sure=True))
    return jobs


@pytest.mark.parametrize(("circuit", "fault"), HIDDEN)
def test_what_keeps_it_turning_is_found_without_power(circuit: str, fault: str) -> None:
    """Common practice: no key and no battery lead until the contacts were read; and the caution before all of it."""
    jobs = asked_until_a_repair(circuit, fault)
    asked = [job.next for job in jobs if job.next is not None]
    first = next(n for n, one in enumerate(asked) if one.id in BOOK.checks and one.kind == "check")
    assert jobs[-1].state.complaint == "starter_runs_on"
    assert asked[-1].id == fault
    assert "starter_runs_on" in jobs[first].state.acks.held
    assert {(job.state.settings["battery_lead"], job.state.settings["key"]) for job in jobs[first + 1 :]} == {
        ("off", "off")
    }


@pytest.mark.parametrize("fault", KEEP_IT_TURNING)
def test_power_comes_back_only_with_somebody_at_the_isolator(fault: str) -> None:
    """The repair may have failed: the caution is due before it is tried, too."""
    normal = {name: setting.normal for name, setting in BOOK.settings.items()}
    assert BOOK.cautions["starter_runs_on"].word == "DANGER"
    assert {"crank_area", "starter_runs_on"} <= set(before_check(BOOK, BOOK.checks["starter_let_back"], normal))
    assert "starter_runs_on" in before_repair(BOOK, fault)


# ---- What nobody told of is heard at the hand-back

RUINED = ("start_relay.welded", "starter.slips")
"""A welded relay and the drive it has ruined: the engine stands still, so nobody has heard the starter go on."""

WELDED = [one for one in BOOK.circuits if set(RUINED) <= set(shop.machine(one).faults)]
WORKED = WELDED if LEVEL > 1 else ["start_relay", "isolator_24", "controller_start"]


def heard(job: Job) -> int:
    """Where in a job the starter was said not to let go."""
    return next(n for n, (asked, said) in enumerate(job.said) if (asked.id, said) == ("show.lets_go", "fails"))


@pytest.mark.parametrize("circuit", WORKED)
def test_a_welded_relay_behind_a_ruined_drive_is_heard_at_the_hand_back(circuit: str) -> None:
    """The chain of the book, worked as `bench_found` works it: both are repaired, and only then is it handed back."""
    him = found.mechanic(circuit, RUINED, seed=5)
    job = work(him)
    told = {asked.id for asked, _ in job.said}
    assert told & {"show.lets_go", "rest_amps", "relay_contact_ohms"}  # heard at the hand-back, or measured before it
    assert set(him.repaired) == set(RUINED)
    assert him.present == frozenset()
    assert job.status == "handed back"


@pytest.mark.parametrize("fault", KEEP_IT_TURNING)
def test_what_is_heard_is_looked_for_with_the_power_gone(fault: str) -> None:
    """A dead machine tells nobody that its starter goes on: it is heard once the first repair is proven.

    Then the power goes at once, no check puts it back, and the machine is kept until the second repair.
    """
    him = found.mechanic("start_relay", ("ground_cable.open", fault), seed=5)
    job = work(him)
    asked = [question.id for question, _ in job.said]
    at, mended = heard(job), asked.index(fault)
    assert {"crank_area", "starter_runs_on"} <= {name for question, _ in job.said[:at] for name in question.acks}
    assert job.after[at].verdict.status == "proven"
    now = job.after[at + 1]
    assert now.findings["starter_let_back"] == "runs_on"
    assert now.verdict.status == "open"
    assert [said.startswith(BOOK.duties["lets_go"].otherwise) for _, said in now.verdict.failed] == [True]
    between = [BOOK.checks[name] for name in asked[at:mended] if name in BOOK.checks]
    assert {check.state["battery_lead"] for check in between} == {"off"}
    assert "hand_back" not in asked[:mended]
    assert him.repaired == ["ground_cable.open", fault]
    assert job.status == "handed back"


def test_no_power_comes_back_to_hear_it_a_second_time() -> None:
    """A reading in doubt is taken again, but not that one."""
    job = work(found.mechanic("series_start", ("ground_cable.open", "key_start.sticks"), seed=5))
    at = heard(job) + 1
    assert "starter_let_back" not in {asked.id for asked, _ in job.said[at:]}


@pytest.mark.parametrize("circuit", list(BOOK.circuits))
def test_every_machine_is_listened_to_with_its_caution_before(circuit: str) -> None:
    """On the page of the restarts, ahead of them: each of these machines has a starter."""
    page = next(page for page in pages_of(duties_of(BOOK, circuit)) if page_id(page) == "tick.lets_go")
    normal = {name: setting.normal for name, setting in BOOK.settings.items()}
    assert page[0].id == "lets_go"
    assert "restarts_shown" in {duty.id for duty in page[1:]}
    assert {"crank_area", "starter_runs_on"} <= set(before_check(BOOK, as_check(page), normal))
    alone = as_check((BOOK.duties["lets_go"],))
    assert {"crank_area", "starter_runs_on"} <= set(before_check(BOOK, alone, normal))


def test_a_starter_that_lets_go_passes() -> None:
    """And is told among what was shown."""
    job = worked("interlocks", "main_link.blown")
    assert job.status == "handed back"
    assert BOOK.duties["lets_go"].name in job.end.verdict.shown
    assert "show.lets_go" not in [asked.id for asked, _ in job.said]
