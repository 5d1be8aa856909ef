"""The only place, with the two files named like it, that knows what the program calls things: here what is told."""

from __future__ import annotations

from collections.abc import Mapping

from foreign.record import Does, Machine

COMPLAINTS: Mapping[Does, str] = {
    "dead": "no_power",
    "part_dead": "part_alive",
    "weak": "weak_lamps",
    "silent": "silent",
    "click": "relay_click",
    "clunk": "one_clunk",
    "chatter": "chatter",
    "slow": "slow_crank",
    "dies": "dies_at_start",
    "spins": "not sure",
    "turns_itself": "starter_runs_on",
    "cranks_no_run": "cranks_only",
    "dies_at_release": "dies_at_release",
    "will_not_stop": "will_not_stop",
    "flat_later": "flat_again",
    "normal": "comes_and_goes",
}
"""What the program calls what a machine does."""

STANDING_STILL = ("left_nothing", "lamps_shown", "horn_shown", "wipers_shown", "heater_shown", "wiggle_shown")
"""What is shown with the engine stopped, and hangs on nothing that these machines have broken."""

RUNNING: tuple[Does, ...] = ("normal", "will_not_stop", "flat_later")
CRANKING: tuple[Does, ...] = (*RUNNING, "cranks_no_run", "dies_at_release")
SHOWN_BY: Mapping[str, tuple[tuple[Does, ...], tuple[Does, ...] | None]] = {
    "lets_go": (CRANKING, ("turns_itself",)),
    "fires_shown": ((*RUNNING, "dies_at_release"), ("cranks_no_run",)),
    "runs_shown": (RUNNING, ("dies_at_release",)),
    "restarts_shown": (CRANKING, None),
    "stop_shown": (("normal", "flat_later"), ("will_not_stop",)),
}
"""What a machine must do, with what it does where that works, and where that fails; else it cannot be shown. None: it
fails wherever it does not work."""

SPEAKS_OF: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "stood": {"months": ("stood_long",)},
    "onset": {"gradual": ("slow_for_weeks", "battery_old"), "comes_goes": ("shaken_lever", "comes_back_when_moved")},
    "frost": {"frost": ("frost", "cold_days"), "hot": ("hot_days",)},
    "water": {"washed": ("washed", "rain", "wet_days"), "flooded": ("river",)},
    "burnt_smell": {"burnt": ("smell_burnt", "smoke_seen")},
    "last_lamp": {"charge": ("charge_lamp_was_on",)},
    "battery_age": {"old": ("battery_old",), "new": ("new_battery",)},
    "jumped": {"helped": ("jump_helped",), "no_help": ("jump_did_not_help",), "sparked": ("jumped_reversed",)},
    "new_parts": {
        "battery": ("new_battery", "battery_was_out"),
        "starter": ("starter_renewed",),
        "engine_out": ("engine_was_out",),
        "accessory": ("radio_fitted", "tracker_fitted", "lamp_fitted"),
        "dash": ("dash_was_out",),
        "alternator": ("alternator_renewed",),
        "key_lock": ("key_switch_renewed",),
    },
    "near_loom": {"stolen": ("theft_try",), "welding": ("welded", "hot_work")},
    "helped": {
        "tapped_starter": ("goes_when_tapped",),
        "moved_leads": ("comes_back_when_moved",),
        "moved_lever": ("shaken_lever",),
    },
    "rodents": {"nest": ("mice",)},
    "tried": {
        "blew_again": ("fuse_blew_again",),
        "bridged_cranks": ("bridged_cranks",),
        "bridged_still": ("bridged_still",),
    },
    "worked_before": {"slower": ("slow_for_weeks",), "clicked": ("clicking_before",)},
    "left_on": {"lamp_left": ("lamps_left_on",)},
    "flat_before": {"one_night": ("drain_overnight",)},
    "charged": {"took_hours": ("charged_overnight", "charger_took_hours")},
    "charge_lamp_long": {"one_of_them": ("charge_lamp_was_on",)},
    "moved": {"struck": ("hit_something",)},
    "shaken": {
        "rough": ("rough_ground",),
        "turned": ("shaken_lever", "comes_back_when_moved"),
        "wet": ("wet_days", "washed", "rain"),
        "warm": ("hot_days",),
    },
    "same_before": {"battery_changed": ("new_battery",), "starter_changed": ("starter_renewed",)},
    "struck_by": {"lightning": ("lightning",)},
}
"""Answers of the program's questions of history, each with the words of a story that it stands for."""

TOLD = "told"
"""Under what the program takes the owner's own words."""

NOTHING = ("none", "never", "nothing", "not_charged", "dry", "mild", "isolator_on", "first_time", "always", "all_well")
"""Answers of somebody who knows that there was nothing of it."""

NO_ICE = "frozen_battery"
"""The caution that asks whether the battery is whole and not frozen."""

START_WAYS: Mapping[str, str] = {
    "key": "key_itself",
    "relay_one_switch": "one_switch",
    "relay_switches": "switches",
    "series": "series_switch",
}


BESIDES: Mapping[str, tuple[str, str]] = {
    "isolator_positive": ("isolator", "positive"),
    "isolator_ground": ("isolator", "ground"),
    "ignition_relay": ("run_relay", "yes"),
    "interlock_switches": ("interlocks", "several"),
    "lever_lock": ("interlocks", "lock_lever"),
    "coded_unit": ("coded_key", "yes"),
    "tracker": ("tracker", "yes"),
    "glow_plugs": ("cold_aid", "glow_plugs"),
    "heater_in_intake": ("cold_aid", "intake_heater"),
    "tap": ("twelve_volt_tap", "yes"),
    "stop_one_winding": ("stop_device", "one_winding"),
    "stop_two_windings": ("stop_device", "two_windings"),
    "stop_fed_to_stop": ("stop_device", "fed_to_stop"),
}
"""Options that are asked for together, each with the feature and the answer that say the same."""


def features(machine: Machine) -> dict[str, str]:
    """What somebody answers who knows the machine, by the program's describing question."""
    seen = machine.seen
    locks = set(seen.interlocks)
    few = "neutral" if len(locks) == 1 and locks & {"neutral", "clutch"} else "several"
    return {
        "twelve_volt_tap": _yes(seen.tap_12v),
        "isolator": {"none": "no", "plus": "positive", "minus": "ground"}[seen.isolator],
        "start_way": START_WAYS.get(seen.start_way, seen.start_way),
        "start_relay": _yes(seen.start_way != "key"),
        "interlocks": "none" if not locks else "lock_lever" if locks == {"lock"} else few,
        "electronic_engine": _yes(seen.electronic),
        "jump_posts": _yes(seen.jump_posts),
        "coded_key": _yes(seen.coded_key),
        "tracker": _yes(seen.tracker),
        "stop_device": "by_hand" if seen.stop == "none" else seen.stop,
        "cold_aid": {"none": "none", "glow": "glow_plugs", "heater": "intake_heater"}[seen.cold],
        "run_relay": _yes(any(element.part == "ignition_relay" for element in machine.elements)),
        "charging": "lamp" if _has_charge_light(machine) else "not sure",
    }


def _has_charge_light(machine: Machine) -> bool:
    return any(getattr(element, "seen", "") == "charge" for element in machine.elements)


def besides(machine: Machine) -> tuple[str, ...]:
    """What it has, as the program calls it where it asks for several things at once."""
    told = features(machine)
    return tuple(name for name, (feature, answer) in BESIDES.items() if told[feature] == answer)


def _yes(value: bool) -> str:  # noqa: FBT001 - an answer
    return "yes" if value else "no"
