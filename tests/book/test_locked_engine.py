"""An engine that the bar does not turn is not cranked again to read anything."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.job.steps import AnswerStep, ReadingStep
from support.mechanic import shipped

BOOK = shipped()


@pytest.mark.parametrize("circuit", list(BOOK.circuits))
def test_nothing_at_start_is_left_open_against_a_locked_engine(circuit: str) -> None:
    """Common practice, no source: every further crank heats cables and may bend a rod."""
    said = (("raised", "none"), ("circuit", circuit), ("complaint", "one_clunk"), ("kit", "all"))
    volts = str(BOOK.circuits[circuit].volts)
    steps = [AnswerStep(name, value) for name, value in (said[0], ("volts", volts), *said[1:])]
    open_yet = Consultation(BOOK, steps).judged
    locked = Consultation(BOOK, [*steps, ReadingStep("bar_engine", "locked")]).judged
    assert open_yet is not None
    assert locked is not None
    states = {name: BOOK.checks[name].state for name in locked.setup.machine.checks}
    cranks = {
        name for name, state in states.items() if state.get("key") == "start" or state.get("remote_button") == "pressed"
    }
    assert cranks & {offer.check for offer in open_yet.offers}
    offered = {offer.check for offer in locked.offers}
    assert not cranks & offered
    assert "rest_volts" in offered
