"""How a part behaves electrically: its ends, its portions that can fail, its values, what can go wrong."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.faults import Verb
from coldiron.record import dataclass, field


@dataclass(frozen=True, slots=True)
class Act:
    """How a part behaves electrically: its ends in order, its portions that can fail, its values with units.

    `ends` is empty for a plain two-ended part, whose kind names them.
    """

    ends: tuple[str, ...]
    portions: tuple[str, ...]
    values: Mapping[str, str]
    optional: Mapping[str, str] = field(default_factory=dict)
    verbs: tuple[Verb, ...] = ("open", "adds", "leaks")


ACTS: Mapping[str, Act] = {
    "battery": Act(
        ends=("positive", "negative"),
        portions=(),
        values={"volts": "V", "ohms": "ohms"},
        verbs=("open", "adds", "leaks", "sets", "scales"),
    ),
    "wire": Act((), (), {"area": "mm2", "length": "m"}, {"joints": "ohms"}),
    "joint": Act((), (), {"ohms": "ohms"}),
    "fuse": Act((), (), {"ohms": "ohms", "amps": "A"}),
    "switch": Act((), (), {"ohms": "ohms"}, verbs=("open", "closed", "adds", "leaks")),
    "load": Act((), (), {"ohms": "ohms"}, verbs=("open", "adds", "leaks", "sets", "scales")),
    "relay": Act(
        ends=("coil_feed", "coil_ground", "contact_feed", "contact_out"),
        portions=("coil", "contact"),
        values={"coil_ohms": "ohms", "contact_ohms": "ohms", "pull_in": "V", "drop_out": "V"},
        verbs=("open", "closed", "adds", "leaks", "sets", "scales"),
    ),
    "rest_relay": Act(
        ends=("coil_feed", "coil_ground", "contact_feed", "contact_out"),
        portions=("coil", "contact"),
        values={"coil_ohms": "ohms", "contact_ohms": "ohms", "pull_in": "V", "drop_out": "V"},
        verbs=("open", "closed", "adds", "leaks", "sets", "scales"),
    ),
    "starter": Act(
        ends=("battery_stud", "s_terminal", "motor_stud", "case"),
        portions=("pull_in", "hold_in", "contact", "motor"),
        values={
            "pull_in_ohms": "ohms",
            "hold_in_ohms": "ohms",
            "armature_ohms": "ohms",
            "contact_ohms": "ohms",
            "crank_amps": "A",
            "crank_volts": "V",
            "pull_in": "V",
            "drop_out": "V",
        },
        verbs=("open", "closed", "locked", "slipping", "adds", "leaks", "sets", "scales"),
    ),
    "alternator": Act(
        ends=("output", "exciter", "case"),
        portions=("field", "trio"),
        values={
            "volts": "V",
            "ohms": "ohms",
            "amps": "A",
            "field_volts": "V",
            "field_ohms": "ohms",
            "trio_ohms": "ohms",
            "wakes": "A",
        },
        verbs=("open", "locked", "adds", "leaks", "sets", "scales"),
    ),
}
"""Every way a kind may act. A relay's contact is open at rest, a rest_relay's is closed at rest."""
