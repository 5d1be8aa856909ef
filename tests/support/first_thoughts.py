"""What the book thinks first on a machine that nobody has touched: causes by group, and the first checks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from support.shop import begin, book, machine

GROUPS: Mapping[str, frozenset[str]] = {
    "battery": frozenset(("battery",)),
    "posts and cables": frozenset(
        (
            "clamp",
            "pair_link",
            "heavy_cable",
            "ground_cable",
            "engine_strap",
            "isolator",
            "starter_face",
            "cab_ground_wire",
            "frame_joint",
        )
    ),
    "starter": frozenset(("starter",)),
}
"""Kinds of the parts that a trouble table takes together; kinds of none of them are `links and switches`."""

DRAG = frozenset(("engine_locked", "engine_heavy"))
"""Faults of the starter in the book that are those of the engine it turns."""


@cache
def causes(circuit: str, complaint: str) -> Mapping[str, float]:
    """The chances of single faults by group, largest first, before anything was read."""
    shares: dict[str, float] = {}
    for fault, chance in begin(circuit, complaint).suspects:
        name = group(circuit, fault)
        shares[name] = shares.get(name, 0.0) + chance
    return dict(sorted(shares.items(), key=lambda item: (-item[1], item[0])))


def group(circuit: str, fault: str) -> str:
    """The group of a fault."""
    part, _, what = fault.rpartition(".")
    if what in DRAG:
        return "engine"
    kind = machine(circuit).parts[part].kind
    return next((name for name, kinds in GROUPS.items() if kind in kinds), "links and switches")


def circuits_of(complaint: str) -> tuple[str, ...]:
    """The circuits of the book on which a machine can be told to do this."""
    relay = complaint == "relay_click"
    return tuple(name for name in book().circuits if not relay or "start_relay_click" in machine(name).checks)


@cache
def overall(complaint: str) -> Mapping[str, float]:
    """The mean over all circuits of the share of each group, largest first."""
    shares: dict[str, float] = {}
    among = circuits_of(complaint)
    for circuit in among:
        found = causes(circuit, complaint)
        whole = sum(found.values())
        for name, chance in found.items():
            shares[name] = shares.get(name, 0.0) + chance / whole / len(among)
    return dict(sorted(shares.items(), key=lambda item: (-item[1], item[0])))


@cache
def first_checks(circuit: str, complaint: str, most: int = 3) -> tuple[str, ...]:
    """The checks that lead, best first, before anything was read."""
    judged = begin(circuit, complaint).judged
    if judged is None:
        raise AssertionError(circuit)
    ranked = judged.setup.judge.ranked(judged.belief, judged.offers, judged.ways)
    return tuple(entry.offer.check for entry in ranked[:most])


@dataclass(frozen=True)
class Row:
    """One complaint in a published trouble table: what it names first, in its order, and what it reads first.

    `differs` says why the book thinks otherwise, where it does; empty where it agrees.
    """

    complaint: str
    source: str
    causes: tuple[str, ...]
    checks: tuple[str, ...]
    differs: str = ""

    @property
    def agrees(self) -> bool:
        """Whether every cause is among as many groups that lead in the book, and at least the first three."""
        leading = list(overall(self.complaint))[:3]
        return leading[0] == self.causes[0] and set(self.causes) <= set(leading)

    @property
    def asked(self) -> float:
        """On how many of the circuits, as a share, one of the checks is among the first three."""
        among = circuits_of(self.complaint)
        found = [{check.partition(".")[0] for check in first_checks(circuit, self.complaint)} for circuit in among]
        return sum(not checks.isdisjoint(self.checks) for checks in found) / len(among)


BATTERY = ("rest_volts", "crank_volts", "battery_a_rest_volts", "battery_a_crank_volts", "battery_b_crank_volts")

TABLE = (
    Row(
        "no_power",
        "TM 9-6115-645-24 table 2-6 (panel has no power): stop switch, posts and cables, batteries, breaker",
        ("links and switches", "posts and cables", "battery"),
        ("estop_look", "clamp_look", "isolator_look", *BATTERY),
        "a test light at the first fuses tells battery, link and ground at once, key in hand",
    ),
    Row(
        "weak_lamps",
        "TM 5-3895-383-24 problem 29 (battery volts first); TM 10-3930-671-24 p. F-302 (then its posts)",
        ("battery", "posts and cables"),
        (*BATTERY, "second_battery_rest_volts", "jump_post_volts"),
    ),
    Row(
        "chatter",
        "TM 5-3895-383-24 problem 29 (battery first); a relay drops out on low volts: common practice, no source",
        ("battery", "posts and cables"),
        BATTERY,
    ),
    Row(
        "slow_crank",
        "TM 10-3930-671-24 pp. F-299 to F-303: battery and posts, then resistance by low amps, then drag by high ones",
        ("battery", "posts and cables", "starter"),
        (
            *BATTERY,
            "second_battery_crank_volts",
            "jump_post_crank_volts",
            "plus_path_drop",
            "ground_path_drop",
            "frame_drop",
        ),
    ),
    Row(
        "one_clunk",
        "TM 5-6115-465-12 (solenoid sounds, no turn: solenoid, brushes, starter); TM 5-3805-254-20-1 p. 2-86",
        ("starter",),
        ("lamps_at_start", "crank_volts", "starter_crank_volts"),
    ),
    Row(
        "relay_click",
        "TM 5-3895-383-24 p. 6-96 (nothing at the solenoid terminal: switch and its wires)",
        ("links and switches", "starter"),
        ("relay_out_volts", "relay_contact_drop", "s_terminal_volts"),
    ),
    Row(
        "silent",
        "TM 10-3930-671-24 p. F-301 (work the neutral lever first); FAA-H-8083-32 (switch, lever, starter last)",
        ("links and switches", "starter"),
        ("controls_look", "start_from_seat", "set_alarm", "chain_walk"),
    ),
    Row(
        "dies_at_start",
        "lamps that go out are a bad joint near the battery: trade teaching, from memory; TM 10-3930-671-24 p. F-303",
        ("posts and cables",),
        ("plus_clamp_drop", "minus_clamp_drop", "clamp_look"),
    ),
)
"""What published trouble tables name first; several groups of one rank in the order of the page."""
