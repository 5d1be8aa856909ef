"""An engine that the bar does not turn is not cranked again to read a joint."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.consult.steps import Step
from support.mechanic import shipped


@pytest.mark.parametrize(
    ("circuit", "check"),
    [
        ("interlocks", "s_joint_drop"),
        ("interlocks", "relay_grip_drop"),
        ("isolator_24", "isolator_tail_drop"),
        ("series_start", "series_s_volts"),
        ("series_start", "series_motor_volts"),
        ("series_start", "series_cable_drop"),
    ],
)
def test_no_reading_at_start_is_left_open_against_a_locked_engine(circuit: str, check: str) -> None:
    """Common practice, no source: every further crank heats cables and may bend a rod."""
    said = (("raised", "none"), ("circuit", circuit), ("complaint", "one_clunk"), ("kit", "all"))
    volts = str(shipped().circuits[circuit].volts)
    steps = [Step("answer", name, value) for name, value in (said[0], ("volts", volts), *said[1:])]
    open_yet = Consultation(shipped(), steps).judged
    locked = Consultation(shipped(), [*steps, Step("read", "bar_engine", "locked")]).judged
    assert open_yet is not None
    assert locked is not None
    assert check in locked.setup.machine.checks
    assert check not in open_yet.directives.closed
    assert check in locked.directives.closed
