"""TM 9-2320-273-20, para 5-8 (24 V tractor truck): the order in which a healthy start chain works.

RUN switch, START switch, neutral switch, starter relay, 24 V to the solenoid coil, contacts, 24 V to the motor. Read in
a stored copy: trucktractor6x4.tpub.com/TM-9-2320-273-20/css/TM-9-2320-273-20_434.htm (its table of steps is not in the
store).
"""

from __future__ import annotations

import pytest

from support.shop import begin, blamed, machine, told, worked_out


def test_the_circuit_of_the_book_has_the_same_order() -> None:
    """START switch, neutral switch, relay coil; and the relay's contacts before the starter."""
    before_the_relay = machine("interlocks").upstream["start_relay"]
    assert before_the_relay.index("key_start") < before_the_relay.index("neutral_switch")
    assert "start_relay" in machine("interlocks").upstream["starter"]


BROKEN = (
    ("silent", "key_start.dead"),
    ("silent", "lever_switch.dead"),
    ("silent", "start_relay.coil_open"),
    ("relay_click", "start_relay.contacts_dead"),
    ("relay_click", "starter.pull_in_open"),
    ("one_clunk", "starter.contacts_dead"),
)
"""Each station broken in turn, and what the machine then does (derived from the order). At 24 V a lock lever stands in
place of the neutral switch."""


@pytest.mark.parametrize(("complaint", "fault"), BROKEN)
def test_each_station_that_fails_is_found_from_the_battery_on(complaint: str, fault: str) -> None:
    done = worked_out(told(begin("isolator_24", complaint), {"rest_volts": "25.2"}), fault)
    assert blamed(done) == {fault.partition(".")[0]}
