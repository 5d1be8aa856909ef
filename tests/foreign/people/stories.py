"""What an owner says on the telephone: what it does, what happened before, what was tried and what each trial did."""

from __future__ import annotations

from collections.abc import Mapping

from foreign.people.drawing import Drawn
from foreign.record import Does

COMPLAINTS: Mapping[Does, str] = {
    "normal": "sometimes starts and sometimes does not",
    "dead": "is stone dead: no lamp, no click, not even the clock",
    "part_dead": "has a live clock, and a dash that stays dark",
    "weak": "has weak lamps, and at START there is nothing, or a faint click",
    "silent": "has all its lamps, and at START nothing happens at all",
    "click": "clicks somewhere in the cab at START, and the starter says nothing",
    "clunk": "gives one clunk at START and does not turn",
    "chatter": "rattles fast at START",
    "slow": "turns as if in tar",
    "dies": "looks well at ON, and at START all goes dark",
    "spins": "whirrs at START, and the engine stands still",
    "turns_itself": "goes on cranking when the key is let go",
    "cranks_no_run": "cranks as ever and does not fire",
    "dies_at_release": "fires, and dies when the key is let back",
    "will_not_stop": "starts and cannot be stopped",
    "flat_later": "starts with a jump, and is flat again in the morning",
}

SAID: Mapping[str, str] = {
    "lamps_left_on": "A lamp was left on.",
    "stood_long": "It stood for months.",
    "battery_old": "The battery is old.",
    "new_battery": "It has a new battery.",
    "battery_was_out": "The battery was out and in again.",
    "slow_for_weeks": "It has turned slower for weeks.",
    "jump_helped": "We jumped it, and it started.",
    "jump_did_not_help": "We jumped it, and that made no difference.",
    "jumped_reversed": "Somebody had the jump leads crossed; there was a big spark.",
    "bridged_cranks": "Bridged at the starter it cranks.",
    "bridged_still": "Bridged at the starter it did not crank either.",
    "charger_took_hours": "The charger ran all night and took hours.",
    "charged_overnight": "It was on the charger overnight.",
    "comes_back_when_moved": "If you move the leads it comes back for a while.",
    "goes_when_tapped": "A tap on the starter helped once.",
    "washed": "It was washed.",
    "rain": "It has rained.",
    "frost": "There was frost.",
    "welded": "Somebody welded on it.",
    "mice": "There are mice in the shed.",
    "rough_ground": "It went over rough ground.",
    "hit_something": "It was caught on something.",
    "radio_fitted": "A radio was fitted.",
    "tracker_fitted": "A tracker was fitted.",
    "engine_was_out": "The engine was out.",
    "fuse_blew_again": "A new fuse blew at once.",
    "smell_burnt": "There was a burnt smell.",
    "smoke_seen": "There was smoke.",
    "clicking_before": "It clicked the days before.",
    "charge_lamp_was_on": "The charge lamp was on.",
    "shaken_lever": "If you shake the lever it goes.",
    "drain_overnight": "It is flat every morning.",
    "cold_days": "It began with the cold.",
}
"""Words of a story as sentences; a word that is not here is said as it stands."""


def story(job: Drawn) -> str:
    """What the owner says, in sentences."""
    return f"The {job.machine.seen.owner_calls_it} {COMPLAINTS[job.tells]}. {besides(job)}".rstrip()


def besides(job: Drawn) -> str:
    """What he says besides what it does, in sentences; empty if he has nothing more to say."""
    return " ".join(SAID.get(word, f"{word.replace('_', ' ').capitalize()}.") for word in job.story)
