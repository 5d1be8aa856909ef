"""The parts and repairs of the program in trade words."""

from __future__ import annotations

from collections.abc import Mapping

PAIR = ("high_battery", "low_battery")
"""Batteries of a pair: whoever charges or renews one is told on the same page to do the other as well."""

PARTS: Mapping[str, tuple[str, ...]] = {
    "top_battery": PAIR,
    "ground_battery": PAIR,
    "pair_link": ("battery_link",),
    "positive_joint": ("plus_clamp",),
    "negative_joint": ("minus_clamp",),
    "main_link_nuts": ("main_link",),
    "run_link_nuts": ("run_link",),
    "key_link_nuts": ("key_link",),
    "cab_feed": ("cab_feed", "key_feed"),
    "key_feed_wire": ("key_feed",),
    "key_plug": ("key_switch", "key_feed"),
    "key_start": ("key_switch",),
    "key_run": ("key_switch",),
    "key_run_start": ("key_switch",),
    "starter_face": ("starter_mount",),
    "isolator_ground_cable": ("isolator_cable", "ground_cable"),
    "start_wire": ("start_wire", "interlock_wire"),
    "crank_wire": ("start_wire",),
    "neutral_to_relay": ("interlock_wire", "start_wire"),
    "neutral_to_brake": ("interlock_wire",),
    "brake_to_seat": ("interlock_wire",),
    "seat_to_relay": ("interlock_wire",),
    "lever_to_relay": ("interlock_wire", "start_wire"),
    "permit_to_relay": ("start_wire", "interlock_wire"),
    "neutral_switch": ("neutral_switch", "clutch_switch"),
    "start_switch": (
        *("neutral_switch", "clutch_switch", "brake_switch", "seat_switch", "pto_switch", "bar_switch", "lock_switch"),
    ),
    "ground_switch": ("neutral_switch", "lock_switch"),
    "work_switch": ("pto_switch", "bar_switch", "lock_switch"),
    "switch_to_relay": ("interlock_wire", "start_wire"),
    "lever_switch": ("lock_switch",),
    "relay_coil_grip": ("relay_socket",),
    "relay_contact_grip": ("relay_socket", "relay_feed_wire"),
    "relay_ground": ("relay_ground_wire",),
    "starter_wire": ("s_wire",),
    "s_terminal": ("s_wire",),
    "starter": ("starter", "solenoid", "engine"),
    "run_relay": ("ignition_relay",),
    "run_relay_wire": ("ignition_relay_wire",),
    "run_relay_ground": ("ignition_relay_wire",),
    "switched_feed": ("run_feed",),
    "run_feed": ("run_feed", "cab_feed"),
    "controller_output": ("controller",),
    "controller_watch": ("controller",),
    "start_conditions": ("controller", "driver"),
    "controller_supply_wire": ("controller_supply_wire",),
    "controller_ground_wire": ("controller_ground_wire",),
    "wake_wire": ("controller_supply_wire", "wake_wire", "controller_relay"),
    "module": ("coded_module",),
    "permit_relay": ("coded_module",),
    "module_fuse": ("coded_fuse",),
    "memory_fuse": ("coded_fuse",),
    "module_run_wire": ("coded_wire",),
    "memory_wire": ("coded_wire",),
    "module_ground_wire": ("coded_wire",),
    "ring": ("key_reader",),
    "ring_plug": ("key_reader",),
    "first_splice": ("tracker_wire",),
    "second_splice": ("tracker_wire",),
    "cut_coil_wire": ("tracker_wire",),
    "cut_relay": ("tracker",),
    "tracker_output": ("tracker",),
    "tracker_fuse": ("tracker",),
    "stop_solenoid_wire": ("stop_wire",),
    "stop_feed": ("stop_wire",),
    "stop_terminal": ("stop_wire",),
    "hold_wire": ("stop_wire",),
    "fuel_coil": ("stop_solenoid",),
    "fuel_coil_wire": ("stop_wire",),
    "fuel_coil_pin": ("stop_wire", "stop_solenoid"),
    "fuel_coil_ground_wire": ("stop_wire",),
    "pull_wire": ("stop_wire",),
    "hold_pin": ("stop_wire", "stop_solenoid"),
    "pull_pin": ("stop_wire", "stop_solenoid"),
    "stop_coil": ("stop_solenoid",),
    "hold_coil": ("stop_solenoid",),
    "pull_coil": ("stop_solenoid",),
    "stop_mount": ("stop_solenoid",),
    "stop_ground": ("stop_wire",),
    "pull_fuse": ("stop_fuse",),
    "heater_link": ("glow_link",),
    "glow_feed": ("glow_wire",),
    "glow_lead": ("glow_wire",),
    "glow_timer": ("glow_relay",),
    "grid_link": ("heater_link",),
    "grid_feed": ("heater_wire",),
    "grid_lead": ("heater_wire",),
    "grid_relay": ("heater_relay",),
    "grid_timer": ("heater_relay",),
    "intake_heater": ("heater",),
    "centre_tap": ("tap",),
    "tap_fuse": ("tap", "equalizer"),
    "equaliser": ("equalizer",),
    "equaliser_fuse": ("equalizer",),
    "equaliser_source": ("equalizer",),
    "equaliser_ground_wire": ("equalizer",),
    "float_charger": ("charger",),
    "charger_mains": ("charger",),
    "stop_knob": ("driver", "stop_knob"),
}
"""Trade parts of a part of the program; one that is not here has its own name."""


def parts(name: str) -> tuple[str, ...]:
    """The trade parts that a part of the program stands for."""
    return PARTS.get(name, (name,))


ACTS: Mapping[str, tuple[str, ...]] = {
    "charge": ("charge it", "charge the"),
    "thaw": ("indoors for a day",),
    "renew": (
        "fit a ",
        "fit the ",
        "fit brushes",
        "install ",
        "fit oil",
        "new ",
        "replace",
        "renew",
        "change ",
        "oil for",
        "injectors out",
    ),
    "clean": ("clean", "scrape", "bright"),
    "tighten": ("tighten", "torque", "bolt", "push", "put it back"),
    "mend": (
        "splice",
        "mend",
        "fix the",
        "fix it",
        "fix both",
        "fix every",
        "join",
        "new piece",
        "sleeve",
        "crimp",
        "solder",
        "part the wires",
    ),
    "adjust": ("adjust", "set the switch", "set it", "set the linkage"),
    "set_right": (
        *(
            "operator",
            "switch it on",
            "put the lever",
            "set the brake",
            "from the seat",
            "twist it out",
            "then hand",
            "switch to hand",
        ),
        *(
            "right way round",
            "own key",
            "lifts the block",
            "pairing",
            "write down which",
            "knob in",
            "who switched it off",
        ),
    ),
    "fit_fuse": ("same rating", "the rating", "same type and rating", "fit the rating", "new fuse"),
    "remove": ("take the wire off", "remove", "feed that load", "pull one fuse at a time", "off its load"),
}
"""Words of a repair's text that say what is done."""

HANDWORK = frozenset(("clean", "tighten", "mend"))
"""Whoever has a wire, a clamp or a plug in his hands does all of these that it needs; a new one does as well."""

NOT_SET = frozenset(
    ("not_in_neutral", "not_set", "nobody_seated", "not_locked", "not_turned", "not_met", "left_pressed", "left_off")
)
"""Faults of the program that are somebody who did not set it right."""

STARTER: Mapping[str, tuple[str, ...]] = {
    "contacts_dead": ("solenoid",),
    "contacts_burnt": ("solenoid",),
    "welded": ("solenoid",),
    "pull_in_open": ("solenoid",),
    "hold_in_open": ("solenoid",),
    "winding_shorted": ("solenoid",),
    "engine_locked": ("engine",),
    "engine_heavy": ("engine",),
}
"""Trade parts of what is wrong at a starter; all else is the starter itself, which comes with its solenoid."""


def acts(name: str, text: str, *, renews: bool) -> set[str]:
    """What a repair of the program does, in acts of the trade."""
    told = f"{name} {text}".lower()
    found = {act for act, words in ACTS.items() if any(word in told for word in words)}
    found |= {"renew"} if renews else set()
    return found | HANDWORK if found & HANDWORK else found


def at_fault(fault: str) -> tuple[str, ...]:
    """The trade parts that a fault of the program, `part.fault`, is at."""
    part, _, name = fault.rpartition(".")
    if part == "starter":
        return STARTER.get(name, ("starter", "solenoid"))
    if name in NOT_SET:
        return ("driver", *(parts(part) if name == "left_off" else ()))
    return parts(part)


def mends(done: set[str], needs: set[str], part: str) -> bool:
    """Whether acts that were done mend what needs others, at the same part."""
    if done & needs:
        return True
    return bool(needs & HANDWORK) and "renew" in done and not part.endswith(("battery", "fuse", "link"))
