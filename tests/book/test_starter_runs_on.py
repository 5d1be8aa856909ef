"""A starter that goes on turning is found with the power gone, whatever keeps it turning."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.consult.cautions import before_check, before_repair
from coldiron.consult.setup import setup_of
from support import found
from support.mechanic import shipped

BOOK = shipped()
KEEP_IT_TURNING = ("start_relay.welded", "starter.welded", "key_start.sticks")
MACHINES = ("direct_start", "start_relay", "isolator_24", "generating_set", "controller_start")
HIDDEN = [(one, fault) for one in MACHINES for fault in KEEP_IT_TURNING if fault in setup_of(BOOK, one).machine.faults]


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
    assert "starter_runs_on" in jobs[first].state.acknowledged
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
