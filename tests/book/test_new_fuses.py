"""No new link or fuse is fitted before its dead side was measured, on any machine of the shipped book."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.book.checks import Check
from coldiron.book.faults import Fault, Opens
from coldiron.book.history import COMPLAINT
from coldiron.job.steps import AnswerStep
from support import shop
from support.mechanic import Job, shipped, worked

BOOK = shipped()


def opened(circuit: str) -> list[Fault]:
    """The faults of a machine that leave a link or a fuse open, so that a new one is fitted."""
    found = [BOOK.faults[name] for name in shop.machine(circuit).faults]
    fuses = [fault for fault in found if BOOK.kinds[fault.kind].acts == "fuse"]
    return [fault for fault in fuses if any(isinstance(effect, Opens) for effect in fault.what.effects)]


def is_power_off_reading(check: Check) -> bool:
    """Whether a check reads ohms with the battery lead off."""
    return check.reads.quantity == "ohms" and dict(check.state).get("battery_lead") == "off"


def begun(circuit: str) -> Consultation:
    """A job on such a machine of which nothing was read yet."""
    steps = [AnswerStep("raised", "none"), AnswerStep(COMPLAINT, "no_power")]
    return Consultation(BOOK, [*steps, AnswerStep("circuit", circuit), AnswerStep("kit", "all")])


@pytest.mark.parametrize("circuit", BOOK.circuits)
def test_ohms_come_before_every_new_link_and_fuse(circuit: str) -> None:
    """Whatever was found so far: ohms, with the battery lead off, hold the verdict (SAE J1284, J554, J2077)."""
    judged = begun(circuit).judged
    assert judged is not None
    measured = {name for name, check in BOOK.checks.items() if is_power_off_reading(check)}
    assert opened(circuit)
    assert [fault.id for fault in opened(circuit) if not measured.intersection(judged.held.get(fault.id, ()))] == []


JOBS = [
    worked("isolator_24", "run_link.blown"),
    worked("interlocks", "main_link.blown", "cab_feed.chafed"),
]


@pytest.mark.parametrize("job", JOBS, ids=["alone", "with what blew it"])
def test_a_job_reads_ohms_before_a_new_link(job: Job) -> None:
    """In a whole job, since the last repair: the dead side is measured, and only then a new link goes in."""
    asked = [question for question, _ in job.said]
    repairs = [n for n, question in enumerate(asked) if question.kind == "repair"]
    fitted = next(n for n in repairs if asked[n].id.endswith("link.blown"))
    since = max((n for n in repairs if n < fitted), default=0)
    link = asked[fitted].id.partition(".")[0]
    assert f"dead_side_ohms.{link}" in [question.id for question in asked[since:fitted]]
