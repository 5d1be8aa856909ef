"""TM 5-3805-254-20-1 (12 V dump truck), pp. 2-86 and 2-94, malfunction 26: the noise, 11 to 13 V, and flat again.

Read in stored copies: constructiondumptrucks.tpub.com/TM-5-3805-254-20-1/css/TM-5-3805-254-20-1_155.htm, _163.htm and
_281.htm. Its warning: key off and battery ground off before resistance is measured.
"""

from __future__ import annotations

import re

import pytest

from coldiron.book.conclusions import Advises
from coldiron.book.conditions import RepairMade
from coldiron.job.cautions import before_check
from support.shop import (
    begin,
    blamed,
    book,
    finding,
    first,
    first_part,
    next_step,
    onward,
    part_chance,
    told,
    worked_out,
)

AT_THE_SOLENOID = (11.0, 13.0)  # volts from solenoid terminal to ground at START that condemn the starter (read)
CHARGING = (13.0, 15.5)  # volts at 1100 rpm, 12 V (read)


def test_a_click_or_silence_goes_on_to_electrical_checks() -> None:
    """Step 4 on (p. 2-86)."""
    job = told(begin("start_relay", "one_clunk"), {"starter_noise": "usual"})
    assert job.verdict.status == "open"
    asked = onward(job).next
    assert asked is not None
    assert asked.kind == "check"
    assert asked.id != "bar_engine"


def test_one_heavy_thump_is_starter_or_engine() -> None:
    job = told(begin("start_relay", "one_clunk"), {"starter_noise": "thud"})
    assert first(job) in {"starter.engine_locked", "starter.seized"}
    assert next_step(job) == "bar_engine"


def test_grinding_is_the_drive_or_the_ring_gear() -> None:
    """Inspect the drive gear and the ring gear: the fault of the book names both in its repair."""
    job = told(begin("start_relay", "one_clunk"), {"starter_noise": "grinding"})
    assert first(job) == "starter.slips"
    assert "ring gear" in book().faults["starter.slips"].what.repair


def test_spinning_without_cranking_is_the_starter() -> None:
    job = told(begin("start_relay", "one_clunk"), {"starter_noise": "whirring"})
    assert first(job) == "starter.slips"
    assert blamed(worked_out(job, "starter.slips")) == {"starter"}


@pytest.mark.parametrize("volts", [AT_THE_SOLENOID[0], 12.3, AT_THE_SOLENOID[1]])
def test_the_volts_that_condemn_the_starter_are_live(volts: float) -> None:
    assert finding("s_terminal_volts", volts) == "live"


def test_volts_at_the_solenoid_and_a_good_ground_wire_are_the_starter() -> None:
    """The ground wire is looked at first, then 12.3 V at the terminal (p. 2-94): replace the starter.

    A look is not a measurement: the book has the ground proven under load before the starter is blamed.
    """
    readings = {"ground_look.ground_cable": "sound", "s_terminal_volts": "12.3"}
    job = told(begin("start_relay", "relay_click"), readings)
    assert first_part(job) == "starter"
    assert job.verdict.status == "open"
    assert next_step(job) == "ground_path_drop"
    assert blamed(worked_out(job, "starter.brushes")) == {"starter"}


def test_other_volts_at_the_solenoid_go_on_upstream() -> None:
    """6 V at the terminal (p. 2-94): go on upstream, step 14."""
    readings = {"rest_volts": "12.6", "ground_look.ground_cable": "sound", "s_terminal_volts": "6.0"}
    job = told(begin("start_relay", "relay_click"), readings)
    assert part_chance(job, "starter") < 0.05
    assert blamed(worked_out(job, "start_relay.contacts_burnt")) == {"start_relay"}


def test_a_battery_that_was_flat_is_not_handed_back_without_its_charge_being_looked_at() -> None:
    """Malfunction 26: 13 to 15.5 V is a charge; then look for a drain. The book asks for 13.8 to 14.6 V, within it."""
    texts = [rule for rule in book().rules.values() if any(isinstance(c.test, RepairMade) for c in rule.when)]
    advice = " ".join(then.text for rule in texts for then in rule.then if isinstance(then, Advises))
    low, high = (float(figure) for figure in re.findall(r"(\d+\.\d) to (\d+\.\d) V \(", advice)[0])
    assert CHARGING[0] <= low < high <= CHARGING[1]
    assert "standing current" in advice


@pytest.mark.parametrize("name", [n for n, c in book().checks.items() if c.reads.quantity == "ohms"])
def test_resistance_is_measured_with_the_key_off_and_the_battery_off(name: str) -> None:
    """Or the part is out of its plug, so that no battery is in the way; the lead comes off negative first."""
    state = book().checks[name].state
    assert state.get("key", "off") == "off"
    assert state.get("battery_lead") == "off" or {"start_relay", "ring_plug"} & state.keys()
    if state.get("battery_lead") == "off":
        normal = {setting.id: setting.normal for setting in book().settings.values()}
        assert "negative_first" in before_check(book(), book().checks[name], normal)


def test_a_machine_that_goes_flat_again_is_shown_its_standing_current() -> None:
    """Malfunction 26: the charge is good; then all off, ground cable off, and from cable to post there is nothing.

    The manual reads 0 V there; the book reads the current, which tells a clock from a drain.
    """
    duty = book().duties["standing_amps"]
    assert duty.quantity == "amps"
    assert min(band.low for band in duty.bands) <= 0 < max(band.high for band in duty.bands) <= 0.1
