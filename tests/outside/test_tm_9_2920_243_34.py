"""TM 9-2920-243-34, table 2-1 (24 V starter), and TM 9-4940-568-34, p. 5-157: terminal volts, a jumper, currents.

Table 2-1 read in a stored copy: automotiveenginemechanics.tpub.com/TM-9-2920-243-34/css/TM-9-2920-243-34_12.htm; the
currents of TM 9-4940-568-34 read as an excerpt.
"""

from __future__ import annotations

import pytest

from support.shop import begin, blamed, finding, first_part, next_step, part_chance, told, worked_out

HOLD_IN_OHMS = (1.45, 1.65)  # 24 V solenoid, TM 9-4940-568-34 (read)
PULL_IN_OHMS = (0.16, 0.20)  # likewise


def test_no_volts_at_the_terminal_send_the_search_upstream() -> None:
    """Trace circuit and batteries (table 2-1)."""
    job = told(begin("isolator_24", "relay_click"), {"rest_volts": "25.2", "s_terminal_volts": "0"})
    assert part_chance(job, "starter") < 0.02


def test_fed_from_its_own_stud_and_still_dead_is_the_solenoid() -> None:
    """Battery stud to relay stud, relay still dead: replace it (table 2-1). Here by a fused button, never a tool."""
    readings = {"rest_volts": "25.2", "starter_stud_lamp": "bright", "remote_click": "silent"}
    job = told(begin("isolator_24", "relay_click"), readings)
    assert first_part(job) == "starter"
    assert part_chance(job, "start_relay") < 0.15
    assert blamed(worked_out(job, "starter.pull_in_open")) == {"starter"}


def test_fed_from_its_own_stud_it_cranks_and_the_starter_is_cleared() -> None:
    """The other branch of the same step: what cranks by the button is not the fault."""
    job = told(begin("isolator_24", "relay_click"), {"rest_volts": "25.2", "remote_start": "normal"})
    assert part_chance(job, "starter") < 0.05
    assert next_step(job)


@pytest.mark.parametrize("ohms", HOLD_IN_OHMS)
def test_a_hold_in_winding_alone_is_one_winding(ohms: float) -> None:
    assert finding("s_coil_ohms", ohms, 24) == "one_winding"


@pytest.mark.parametrize("pull_in", PULL_IN_OHMS)
@pytest.mark.parametrize("hold_in", HOLD_IN_OHMS)
def test_both_windings_side_by_side_are_normal(pull_in: float, hold_in: float) -> None:
    """Their ohms side by side (derived)."""
    assert finding("s_coil_ohms", 1 / (1 / pull_in + 1 / hold_in), 24) == "normal"
