"""What eyes have seen stays: after a repair a look is asked for again only if the repair may have changed it."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.job.steps import AnswerStep, RepairStep, Step
from coldiron.judging.judgement import open_checks
from support.mechanic import shipped

BOOK = shipped()
SAID = (("raised", "none"), ("volts", "12"), ("circuit", "start_relay"), ("complaint", "silent"), ("kit", "all"))
BEGUN = (
    *(AnswerStep(*said) for said in SAID),
    AnswerStep("cable_look.plus_cable", "sound"),
    AnswerStep("clamp_look.positive_joint", "bloom"),
    AnswerStep("rest_volts", "12.6"),
)


def offered(*more: Step) -> set[str]:
    judged = Consultation(BOOK, (*BEGUN, *more)).judged
    assert judged is not None
    return {check.id for check in open_checks(judged)}


def test_what_was_done_in_this_epoch_is_not_offered() -> None:
    """Neither a look nor a reading, until something is repaired."""
    assert not offered() & {"cable_look.plus_cable", "clamp_look.positive_joint", "rest_volts"}


@pytest.mark.parametrize(
    ("fault", "again", "not_again"),
    [
        ("positive_joint.corroded", "clamp_look.positive_joint", "cable_look.plus_cable"),
        ("plus_cable.chafed", "cable_look.plus_cable", "clamp_look.positive_joint"),
        ("battery.flat", "rest_volts", "cable_look.plus_cable"),
    ],
)
def test_a_look_is_offered_again_only_after_a_repair_of_what_it_shows(fault: str, again: str, not_again: str) -> None:
    """Common practice, no source: a reading may be another after any repair, a sound cable is not looked at twice."""
    after = offered(RepairStep(fault, "done"))
    assert {again, "rest_volts"} <= after
    assert not_again not in after


def test_two_looks_are_enough() -> None:
    """Whatever is repaired after the second."""
    again = AnswerStep("clamp_look.positive_joint", "clean")
    repair = RepairStep("positive_joint.corroded", "done")
    assert "clamp_look.positive_joint" in offered(repair)
    assert "clamp_look.positive_joint" not in offered(repair, again, repair)
