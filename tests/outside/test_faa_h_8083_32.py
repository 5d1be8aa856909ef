"""FAA-H-8083-32, starting system troubleshooting table: the starter comes last.

Will not operate: master switch and its circuit, starter switch and its circuit, lever not reaching its switch, and only
when all of them pass the starter. Read as copied at
aircraftsystemstech.com/p/reciprocating-engine-starting-system_14.html.
"""

from __future__ import annotations

import pytest

from support.shop import begin, blamed, first_part, part_chance, told, worked_out

CAUSES = ("key_start.dead", "neutral_switch.dead", "neutral_switch.out_of_adjustment", "start_relay.contacts_dead")


@pytest.mark.parametrize("circuit", ["direct_start", "start_relay", "interlocks", "coded_start", "isolator_24"])
def test_a_silent_starter_is_the_last_to_be_suspected(circuit: str) -> None:
    job = begin(circuit, "silent")
    assert first_part(job) != "starter"
    assert part_chance(job, "starter") < 0.2


@pytest.mark.parametrize("fault", CAUSES)
def test_switches_their_wires_and_levers_are_found_without_the_starter_being_blamed(fault: str) -> None:
    complaint = "relay_click" if fault.startswith("start_relay") else "silent"
    done = worked_out(told(begin("interlocks", complaint), {"rest_volts": "12.6"}), fault)
    assert blamed(done) == {fault.partition(".")[0]}
    assert part_chance(done, "starter") < 0.05
