"""TM 5-6115-465-12 (24 V generator set): does the solenoid sound, and are there 24 V?

Read in a stored copy: dieselgenerators.tpub.com/TM-5-6115-465-12/TM-5-6115-465-120154.htm (a few words of the
second step are lost in the scan).
"""

from __future__ import annotations

from support.shop import begin, blamed, first, first_part, part_chance, told, worked_out


def test_no_sound_and_no_volts_at_the_solenoid_is_wiring() -> None:
    job = told(begin("isolator_24", "silent"), {"rest_volts": "25.2", "s_terminal_volts": "0"})
    assert part_chance(job, "starter") < 0.02


def test_no_sound_and_volts_at_the_solenoid_is_the_solenoid() -> None:
    job = told(begin("isolator_24", "relay_click"), {"rest_volts": "25.2", "s_terminal_volts": "24"})
    assert first_part(job) == "starter"
    assert blamed(worked_out(job, "starter.pull_in_open")) == {"starter"}


def test_it_sounds_and_passes_nothing_on() -> None:
    """No 24 V from solenoid to starter: the solenoid."""
    job = told(begin("isolator_24", "one_clunk"), {"rest_volts": "25.2", "motor_volts": "0"})
    assert first(job) == "starter.contacts_dead"
    done = worked_out(job, "starter.contacts_dead")
    assert [fault for fault, _ in done.verdict.faults] == ["starter.contacts_dead"]


def test_it_sounds_and_passes_24_volts_on() -> None:
    """Then the brushes, then the starter."""
    job = told(begin("isolator_24", "one_clunk"), {"rest_volts": "25.2", "motor_volts": "24"})
    assert first_part(job) == "starter"
    done = worked_out(job, "starter.brushes_worn")
    assert blamed(done) == {"starter"}  # worn brushes or a slipping drive: one and the same starter comes off
