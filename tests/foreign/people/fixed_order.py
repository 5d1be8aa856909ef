"""The trade's fixed order: battery first, then heavy path, feeds, control side, starter, each by the clock."""

from __future__ import annotations

from foreign.people.drawing import Drawn

# Parts in the order they are looked at, with minutes of a look at all of a row. Common practice, no source: looks
# first, the battery before all, both ends of the heavy path under load, then feeds, key, interlocks, relay, starter.
ORDER: tuple[tuple[tuple[str, ...], float], ...] = (
    (("driver",), 5),
    (("plus_clamp", "minus_clamp"), 6),
    (("battery", "low_battery", "high_battery", "battery_link", "second_battery", "charger"), 14),
    (("isolator", "isolator_cable"), 6),
    (("plus_cable", "ground_cable", "engine_strap", "starter_mount"), 14),
    (("main_link", "run_link", "key_link"), 8),
    (("cab_feed", "run_feed", "cab_ground_wire"), 14),
    (("key_fuse", "run_fuse", "start_fuse", "controller_fuse", "stop_fuse"), 8),
    (("key_feed", "key_switch"), 10),
    (("ignition_relay", "ignition_relay_wire"), 10),
    (("neutral_switch", "clutch_switch", "brake_switch", "seat_switch", "lock_switch", "pto_switch", "bar_switch"), 15),
    (("start_wire", "interlock_wire"), 12),
    (("start_relay", "relay_feed_wire", "relay_ground_wire"), 14),
    (("s_wire",), 5),
    (("solenoid", "starter"), 12),
    (("engine",), 10),
    (("controller_relay", "controller_supply_wire", "controller_ground_wire", "request_wire", "drive_wire"), 25),
    (("controller", "coded_key", "coded_module", "key_reader", "tracker", "tracker_wire"), 25),
    (
        ("stop_solenoid", "stop_wire", "glow_plugs", "glow_relay", "glow_link", "glow_wire", "heater", "heater_relay"),
        20,
    ),
)

ASKS = 5.0
"""Minutes to make it safe and to ask."""

ALL_ELSE = 30.0
"""Minutes for what is on no list."""


def minutes_to(job: Drawn) -> float:
    """Minutes until the fixed order has come to the last of its causes."""
    victims = {name for fault, _ in job.faults for name in fault.victims}
    return max((_to(fault.part) for fault, _ in job.faults if fault.name not in victims), default=0.0)


def _to(part: str) -> float:
    gone = ASKS
    for parts, minutes in ORDER:
        gone += minutes
        if part in parts:
            return gone
    return gone + ALL_ELSE
