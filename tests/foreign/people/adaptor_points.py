"""Where the program probes and what it sets, in trade words."""

from __future__ import annotations

from collections.abc import Mapping

from foreign.loading import part_of
from foreign.people.adaptor_parts import parts
from foreign.record import Machine

POINTS: Mapping[str, tuple[str, ...]] = {
    "battery_positive": ("battery_plus",),
    "battery_negative": ("battery_minus",),
    "positive_clamp": ("plus_clamp",),
    "negative_clamp": ("minus_clamp",),
    "ground_battery_positive": ("low_battery_plus",),
    "top_battery_negative": ("high_battery_minus",),
    "starter_battery_stud": ("starter_stud",),
    "starter_motor_stud": ("starter_motor",),
    "engine": ("engine_block",),
    "link_feed": ("main_link_in", "starter_stud", "isolator_out", "plus_clamp"),
    "link_out": ("main_link_out",),
    "run_link_feed": ("run_link_in", "plus_clamp"),
    "run_link_out": ("run_link_out",),
    "key_link_feed": ("key_link_in", "plus_clamp"),
    "fuse_panel": ("fuse_rail",),
    "run_panel": ("run_rail",),
    "key_feed": ("key_b",),
    "key_start_out": ("key_st",),
    "key_run_out": ("key_ig",),
    "lever_in": ("lock_in",),
    "lever_out": ("lock_out",),
    "neutral_in": ("neutral_in", "clutch_in"),
    "neutral_out": ("neutral_out", "clutch_out"),
    "relay_coil_feed": ("relay_86",),
    "relay_coil_pin": ("relay_86",),
    "relay_coil_ground": ("relay_85",),
    "relay_feed": ("relay_30",),
    "relay_contact_pin": ("relay_30",),
    "relay_out": ("relay_87",),
    "run_relay_coil_feed": ("ignition_relay_86",),
    "run_relay_coil_ground": ("ignition_relay_85",),
    "run_relay_feed": ("ignition_relay_30",),
    "run_relay_out": ("ignition_relay_87",),
    "controller_feed": ("controller_fuse_out",),
    "controller_grant": ("controller_drive",),
    "controller_relay_out": ("controller_relay_87",),
    "module_run": ("coded_run",),
    "module_memory": ("coded_memory",),
    "module_ground": ("coded_ground",),
    "permit_in": ("coded_in",),
    "permit_out": ("coded_out",),
    "cut_in": ("tracker_in",),
    "cut_out": ("tracker_out",),
    "jump_post": ("jump_plus",),
    "stop_hold_pin": ("stop_solenoid",),
    "fuel_coil_feed": ("stop_solenoid",),
    "fuel_coil_ground": ("stop_ground", "engine_block"),
    "stop_wire_end": ("stop_solenoid",),
    "stop_solenoid_feed": ("stop_solenoid",),
    "stop_pull_pin": ("stop_pull",),
    "glow_bus": ("glow_rail",),
    "glow_coil_feed": ("glow_relay_86",),
    "glow_relay_feed": ("glow_relay_30",),
    "glow_relay_out": ("glow_relay_87",),
    "grid_stud": ("heater",),
    "grid_coil_feed": ("heater_relay_86",),
    "grid_relay_feed": ("heater_relay_30",),
    "grid_relay_out": ("heater_relay_87",),
    "tap_rail": ("tap_12v",),
}
"""Trade points of a point of the program, the first that a machine has; one that is not here has its own name."""

SETTINGS: Mapping[str, str] = {
    "battery_lead": "ground_lead",
    "park_brake": "brake",
    "lock_lever": "lock",
    "set_mode": "mode",
}
"""Settings of the program that the trade calls otherwise; key and gear for a test stand by themselves."""

CONTROLS: Mapping[str, str] = {
    "neutral": "lever",
    "clutch": "lever",
    "brake": "brake",
    "seat": "seat",
    "bar": "seat",
    "lock": "lock",
    "pto": "engaged",
}
"""Answers of the look at the controls, by the control that does not stand as it must."""


def chain(machine: Machine) -> list[str]:
    """The switches in the start wire, in order; the lock lever of a 24 V machine has pages of its own."""
    return [each for each in machine.seen.interlocks if not (each == "lock" and machine.volts == 24)]


def _at_switch(machine: Machine, name: str) -> str:
    """What is meant by a side of a switch in the start wire, whatever its sort."""
    which, _, side = name.partition("_")
    found = [each for each in chain(machine) if which == "switch" or each in ("pto", "bar", "lock")]
    return f"{found[0 if side == 'in' else -1]}_{side}" if found else ""


def point(machine: Machine, name: str) -> str | None:
    """The trade point of a point of the program on this machine; nothing where it has none."""
    if name in ("switch_in", "switch_out", "work_in"):
        name = _at_switch(machine, name)
        if not name:
            return None
    known = {end for element in machine.elements for end in element.model_dump().values() if isinstance(end, str)}
    known |= {end for element in machine.elements for pair in _pairs(element) for end in pair}
    part, dot, port = name.partition(".")
    if dot:
        found = [each for each in machine.elements if part_of(each) in parts(part) and hasattr(each, "a")]
        if not found:
            return None
        return str(getattr(found[0], "a") if port == "feed" else getattr(found[-1], "b"))  # noqa: B009 - of some kinds
    return next((each for each in POINTS.get(name, (name,)) if each in known), None)


def _pairs(element: object) -> list[tuple[str, str]]:
    return [pair for name in ("coil", "contact", "rest") if (pair := getattr(element, name, None))]
