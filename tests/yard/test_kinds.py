"""Each way to be hurt is known by its step, missed where nothing is said, and quiet where it is said."""

from __future__ import annotations

import pytest

from yard.kinds import KINDS
from yard.page import read
from yard.reckoner import Reckoner

LEAD = "ground lead on the battery negative post"

STEPS: dict[str, tuple[str, str]] = {
    "button at the starter": ("Do now|Press it|Set first: fused remote start button at the S terminal: pressed",
                              "DANGER: The button cranks past every interlock."),
    "lead off": (f"Set|Set first: {LEAD} to 'off'.", "WARNING: A lead is lifted while something is on."),
    "gas at a lifted lead": (f"Set|Set first: {LEAD} to 'off'.", "DANGER: A battery stands in gas."),
    "link out": ("Set|Set first: main link, or both of two to 'out'.", "WARNING: Nothing: nothing fuses it."),
    "ohms": ("Do now|Ohms from here to the frame", "NOTICE: An ohmmeter is put on a live circuit."),
    "amps": ("Do now|Amps through the ground cable", "NOTICE: A meter set to amps is a short."),
    "battery posts": ("Do now|Battery volts at rest, post to post", "DANGER: Gas explodes: gas everywhere."),
    "bridged posts": ("Do now|Battery volts at rest, post to post", "WARNING: A ring that bridges is a dead short."),
    "acid": ("Do now|Hydrometer in every cell", "WARNING: Battery acid burns."),
    "jump": ("Set|Set first: booster battery, plus to plus to 'on'.", "DANGER: A lead on the wrong post bursts it."),
    "charge": ("Fix it|the battery: run down. Charge it slowly.", "DANGER: Charging makes gas."),
    "bare stud": ("Do now|Lamp at the starter battery stud", "WARNING: The stud is live with the key off."),
    "under what is up": ("Do now|Lamp at the starter battery stud", "DANGER: A boom that is up comes down."),
    "rolls": ("Do now|Look|Set first: park brake: released", "DANGER: It can roll."),
    "bar": ("Do now|Turn the engine two turns by hand", "WARNING: The engine is turned by hand."),
    "key on": ("Do now|Dash lamps|Set first: key switch: on", "CAUTION: At ON fans and pumps move."),
    "fuse in": ("Fix it|the fuse: blown. Fit the same rating.", "WARNING: Never a larger rating."),
    "heavy lift": ("Fix it|the starter: seized. Install a starter.", "WARNING: A starter weighs 30 kg."),
    "battery out": ("Fix it|the battery: worn. Install a new battery.", "DANGER: Gas explodes: gas."),
    "bridged interlock": ("Fix it|the switch: dead. Never leave it bridged.", "DANGER: An interlock is bridged."),
    "line voltage": ("Set|Set first: AC power to the float charger to 'on'.", "DANGER: Line voltage kills."),
    "starts by itself": ("Set|Set first: remote start contact of the set to 'closed'.",
                         "DANGER: It starts by itself."),
    "hot work": ("Fix it|the wire: broken. Solder a sealed splice.", "WARNING: A flame lights it: fire."),
}  # fmt: skip


def raised(step: str, *warnings: str) -> set[str]:
    """The alarms of one page: its lines, then its warnings."""
    reckoner = Reckoner()
    lines = ["A machine", "", *step.split("|"), *(f"! {text}" for text in warnings), "Your answer >"]
    reckoner.see(read(lines))
    return {kind for kind, _ in reckoner.alarms}


@pytest.mark.parametrize("name", STEPS)
def test_a_step_without_its_warning_is_missed(name: str) -> None:
    """Nothing is said: an alarm; it is said: none; it is said with too weak a word: an alarm again."""
    step, warning = STEPS[name]
    word, _, text = warning.partition(": ")
    assert f"no warning: {name}" in raised(step)
    assert f"no warning: {name}" not in raised(step, f"{word}: {text}")
    if word != "NOTICE":
        assert f"no warning: {name}" in raised(step, f"NOTICE: {text}")


def test_what_was_said_of_the_machine_is_warned_of() -> None:
    """A boom that is up, and then a step of work without a word of it."""
    reckoner = Reckoner()
    reckoner.says("How does the machine stand?", ["a boom, bucket, blade, body or cab is up"])
    reckoner.see(read(["A machine", "", "Do now", "Look at the fuse", "Your answer >"]))
    assert [kind for kind, _ in reckoner.alarms] == ["no warning: said: something is up"]
    reckoner.says("How does the machine stand?", ["everything is down, level, braked and quiet"])
    reckoner.event("person")
    reckoner.see(read(["A machine", "", "Do now", "Look at the link", "Your answer >"]))
    assert len(reckoner.alarms) == 1


def test_every_kind_has_a_name_of_its_own() -> None:
    """Two of one name would hear for each other."""
    assert len({kind.name for kind in KINDS}) == len(KINDS)
    assert set(STEPS) <= {kind.name for kind in KINDS}


def test_a_warning_of_barring_may_say_it_in_other_words() -> None:
    """That starter or fuel could act while somebody turns the engine is said of him who turns it."""
    step = "Do now|Turn the engine two turns by hand"
    said = "WARNING: Starter or fuel could still act while you turn the engine by hand. Still off?"
    assert "no warning: bar" not in raised(step, said)
    assert "no warning: bar" in raised(step, "WARNING: Starter or fuel could still act. Still off?")
