"""The fixed order of checks that the trade teaches, as one list: common practice, no source.

Look first, then the battery, the heavy path at rest under a lamp, one crank with all its readings, and then the half of
the machine that the complaint points to, followed along its feed. Whatever the machine, whatever was read: the next
check is the next of the list. It is what the choice of checks is held against.
"""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.circuits import Machine

EYES = ("isolator_look", "start_from_seat", "display_message", "battery_look", "clamp_look", "link_look")
"""What is free: isolator, lever and seat, display, clamps, burnt links."""

BATTERY = ("rest_volts", "battery_a_rest_volts", "battery_b_rest_volts", "second_battery_rest_volts")

AT_REST = ("starter_stud_lamp", "frame_lamp", "engine_lamp")
"""Both ends of the heavy path, loaded with a lamp."""

ONE_CRANK = (
    "crank_volts",
    "plus_clamp_drop",
    "minus_clamp_drop",
    "plus_path_drop",
    "ground_path_drop",
    "crank_amps",
)
"""Five numbers of one START."""

SUPPLY = (
    "isolator_in_lamp",
    "isolator_out_lamp",
    "isolator_ground_lamp",
    "link_in_lamp",
    "link_out_lamp",
    "fuse_panel_lamp",
    "feed_drop",
    "fuse_in_lamp",
    "fuse_out_lamp",
    "key_feed_volts",
    "key_feed_lamp",
    "key_run_lamp",
    "key_run_drop",
    "run_coil_volts",
    "run_coil_ground_volts",
    "run_relay_feed_lamp",
    "run_relay_out_volts",
    "run_panel_lamp",
)
"""From the battery along the feed to the outputs of the key."""

CONTROL = (
    "s_terminal_volts",
    "relay_out_volts",
    "relay_feed_lamp",
    "relay_coil_volts",
    "relay_coil_ground_volts",
    "key_start_volts",
    "key_start_drop",
    "start_wire_loss",
    "neutral_out_volts",
    "brake_out_volts",
    "seat_out_volts",
    "lever_in_volts",
    "lever_out_volts",
    "permit_in_volts",
    "permit_out_volts",
    "cut_in_volts",
    "cut_out_volts",
    "controller_supply_volts",
    "controller_request_volts",
    "controller_drive_volts",
    "series_coil_volts",
    "series_switch_click",
)
"""The S terminal, the start relay, and the chain before it."""

STARTER = (
    "solenoid_drop",
    "motor_volts",
    "starter_crank_volts",
    "series_stud_volts",
    "series_crank_amps",
    "strap_drop",
    "frame_drop",
    "starter_face_drop",
    "bar_engine",
)
"""What carries the current, and what it turns."""

RUNS = (
    "fuel_look",
    "plunger_look",
    "stop_snap",
    "hold_volts",
    "pull_volts",
    "stop_wire_volts",
    "stop_knob_volts",
    "heat_amps",
    "glow_bus_volts",
    "glow_relay_out_volts",
    "glow_relay_feed_volts",
    "glow_coil_volts",
)
"""What an engine that cranks needs besides."""

FIRST_HALF = {
    "no_power": SUPPLY,
    "part_alive": SUPPLY,
    "weak_lamps": SUPPLY,
    "dies_at_start": SUPPLY,
    "silent": CONTROL,
    "relay_click": CONTROL,
    "one_clunk": STARTER,
    "chatter": STARTER,
    "slow_crank": STARTER,
    "cranks_only": RUNS,
    "dies_at_release": RUNS,
    "will_not_stop": RUNS,
}
"""The half that the complaint points to; without any complaint they follow as they stand."""


def fixed_order(machine: Machine, complaint: str) -> Iterator[str]:
    """The ids of all checks of a machine in the fixed order; of a check for every part, parts in the order of the book.

    Args:
        machine: the machine.
        complaint: the complaint as it was told, or anything else where there is none.

    What a complaint has told is not left out.
    """
    halves = [SUPPLY, CONTROL, STARTER, RUNS]
    first = FIRST_HALF.get(complaint, SUPPLY)
    halves.remove(first)
    begun = [*EYES, *BATTERY, *AT_REST, *ONE_CRANK, *first]
    rest = [name for half in halves for name in half]
    done: set[str] = set()
    for wanted in (*begun, *rest, ""):
        for name in machine.checks:
            if name not in done and (not wanted or wanted in (name, name.partition(".")[0])):
                done.add(name)
                yield name
