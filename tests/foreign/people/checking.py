"""A check of the program done on a foreign machine: points, settings, instrument there, the answer back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from coldiron import Question
from foreign.elements import Any_, Battery, Load, Relay, Starter
from foreign.loading import part_of
from foreign.measuring import OPEN_LINE, Bench, Setup
from foreign.people import adaptor_parts, adaptor_points, looking
from foreign.people.gear import gear
from foreign.physics import amps_of, source_of
from foreign.record import Fault, Machine

if TYPE_CHECKING:
    from coldiron.book.checks import Check

GLOWS, FULL = 0.2, 0.8
"""From which share of its volts an eye says of a lamp that it glows, and that it shines full: by estimate."""

SNAPS = 0.55
"""The share of its volts from which a plunger is pulled in: common practice, no source."""

NOT_FITTED = "not fitted"

GEAR = (("booster", "on"), ("jump_pack", "on"), ("ground_jumper", "on"), ("remote_button", "pressed"))
"""Settings of the program that are gear fitted for a test."""

BROUGHT_OUT = {
    "wiggle_lamp": ("shaken", "now_and_then"),
    "clamp_wiggle": ("shaken", "now_and_then"),
    "relay_tap": ("shaken", "now_and_then"),
    "start_when_wet": ("wet",),
    "start_when_cold": ("cold",),
    "start_when_warm": ("warm",),
}
"""Checks that bring out what comes and goes, and what it then comes with."""


class Checking:
    """One look at a machine as it stands now; `faults` are what is wrong with it."""

    def __init__(self, machine: Machine, bench: Bench, faults: Sequence[Fault]) -> None:
        self._machine, self._bench, self._faults = machine, bench, faults

    def answer(self, check: Check, asked: Question) -> str:
        """What is typed."""
        setup = self._setup(check)
        reads = check.reads
        if "jump_pack" in check.state and not self._machine.seen.jump_posts:
            return NOT_FITTED
        if reads.quantity in ("volts", "ohms", "lamp"):
            a, b = adaptor_points.point(self._machine, reads.a), adaptor_points.point(self._machine, reads.b)
            if a is None or b is None or not self._has(a, b, setup):
                return NOT_FITTED
            return self._between(a, b, check, setup)
        if reads.quantity == "eye":
            return self._looks(check, asked)
        return self._part(check, asked, setup)

    def _setup(self, check: Check) -> Setup:
        """Settings, key and gear of a check; settings the machine does not have stand by themselves."""
        stands, key = {}, "off"
        fitted: list[Any_] = []
        for name, value in check.state.items():
            if name == "key":
                key = value
            elif (name, value) in (
                ("booster", "on"),
                ("jump_pack", "on"),
                ("ground_jumper", "on"),
                ("remote_button", "pressed"),
            ):
                fitted += gear(self._machine, name)
            elif (trade := adaptor_points.SETTINGS.get(name, name)) in self._machine.stands:
                stands[trade] = value
        return Setup(key, stands, tuple(fitted))

    def _has(self, a: str, b: str, setup: Setup) -> bool:
        """Whether this machine has both points: a module without a memory feed has no pin for one."""
        return {a, b} <= self._bench.held(setup).volts.keys()

    def _between(self, a: str, b: str, check: Check, setup: Setup) -> str:
        quantity = check.reads.quantity
        if quantity == "volts":
            return f"{self._bench.volts(a, b, setup):.2f}"
        if quantity == "lamp":
            light = self._bench.lamp(a, b, setup)
            return self._light(light, [finding.id for finding in check.findings])
        value = self._in_hand(check) or self._bench.ohms(a, b, setup)
        return "OL" if value >= OPEN_LINE / 10 else f"{value:.2f}"

    def _in_hand(self, check: Check) -> float | None:
        """Ohms of a relay that lies in the hand."""
        relay = next(
            (each for each in self._bench.world.elements if part_of(each) == "start_relay" and isinstance(each, Relay)),
            None,
        )
        if relay is None or not check.id.startswith("relay_"):
            return None
        if check.id == "relay_coil_ohms":
            return 1e9 if relay.id in self._bench.world.cut else relay.ohm
        return 0.1 if relay.stuck == "closed" else 1e9

    def _light(self, light: float, ids: Sequence[str]) -> str:
        share = abs(light)
        if "half" in ids:
            return "half" if share > GLOWS else "dark"
        if share >= FULL and "bright" in ids:
            return "bright"
        middle = next((each for each in ids if each in ("dim", "glows")), "bright")
        return middle if share >= GLOWS else "dark"

    def _part(self, check: Check, asked: Question, setup: Setup) -> str:
        trade = adaptor_parts.parts(check.reads.part)
        if check.reads.quantity == "amps":
            found = [self._bench.amps(part, setup) for part in trade]
            value = next((each for each in found if each is not None), None)
            return NOT_FITTED if value is None else f"{value:.2f}"
        if check.reads.quantity == "turn":
            turns = self._bench.turns(setup)
            return turns if turns in asked.choices else "not sure"
        if check.reads.quantity == "click":
            clicks = [self._bench.clicks(part, setup) for part in trade]
            said = next((each for each in clicks if each is not None), None)
            if said is None:
                return NOT_FITTED
            return said if said in asked.choices else "clunks" if "clunks" in asked.choices else "not sure"
        return self._snaps(check, trade, setup) if check.id.startswith("stop_snap") else self._runs(check, asked)

    def _snaps(self, check: Check, trade: Sequence[str], setup: Setup) -> str:
        """Whether a whole winding of the stop solenoid gets what pulls its plunger in, and nothing holds that."""
        held = self._bench.held(setup)
        here = [each for each in held.world.elements if isinstance(each, Load) and part_of(each) in trade]
        over = [abs(held.volts[each.a] - held.volts[each.b]) for each in here if each.id not in held.world.cut]
        stuck = any(each.part in trade and not each.change and not each.add for each in self._faults)
        snaps = not stuck and max(over, default=0.0) >= SNAPS * self._machine.volts
        bad = next(finding.id for finding in check.findings if finding.id != check.good)
        return check.good if snaps else bad

    def _runs(self, check: Check, asked: Question) -> str:
        """Whether it fires, runs on, stops."""
        does = self._bench.does()
        good = does in ("normal", "will_not_stop", "flat_later")
        if check.id.startswith("stops"):
            good = does != "will_not_stop"
        if check.id in ("runs_on", "runs_when_fed") and does == "cranks_no_run":
            return "not sure"
        if does not in ("normal", "cranks_no_run", "dies_at_release", "will_not_stop") or not asked.choices:
            return "cannot reach"
        bad = next(each for each in asked.choices if each != check.good)
        if check.id.startswith("fires") and does == "dies_at_release":
            good = True
        return check.good if good else bad

    def _brought_out(self, check: Check, kind: str) -> str:
        """Whether what is moved, tapped, warmed or wetted brings out a fault that comes and goes with just that."""
        when = BROUGHT_OUT[kind]
        part = check.id.partition(".")[2]
        here = [each for each in self._faults if not part or each.part in adaptor_parts.parts(part)]
        if any(each.shows_when in when for each in here):
            return next(finding.id for finding in check.findings if finding.id != check.good)
        return check.good

    def _looks(self, check: Check, asked: Question) -> str:
        kind, _, part = check.id.partition(".")
        if kind in BROUGHT_OUT:
            return self._brought_out(check, kind)
        if (seen := self._seen(check, kind)) is not None:
            return seen
        trade = adaptor_parts.parts(part) if part else ()
        here = {part_of(each) for each in self._machine.elements}
        if part and not here & set(trade):
            return NOT_FITTED
        for sentence in looking.found_at(self._faults, trade):
            found = looking.choose(sentence, asked.pairs, check.good)
            if found:
                return found
        return check.good

    def _seen(self, check: Check, kind: str) -> str | None:
        """Looks that are tests of what the machine does, worked out from it."""
        ids = [finding.id for finding in check.findings]
        if kind == "load_test":
            return self._load_test(check, ids)
        if kind == "cell_gravity":
            return self._gravity(check)
        if kind == "relay_swap":
            names = [f for f in self._faults if f.part == "start_relay" and "renew" in f.mends]
            return "cured" if names and len(self._faults) == 1 else "same"
        if kind == "controls_look":
            return self._controls(check, ids)
        if kind == "chain_walk":
            return self._walk(check)
        if kind == "stud_cable_off":
            short = [each.part for each in self._faults if each.add]
            at_starter = any(part in ("starter", "solenoid") for part in short)
            return "starter" if at_starter else "cable" if any(part.endswith("cable") for part in short) else check.good
        if kind == "start_from_seat" and self._faults:
            return "cranks" if all(fault.part == "driver" for fault in self._faults) else "same"
        if kind in ("start_from_seat", "spare_key_start", "set_hand_again", "set_reset"):
            return "same"
        if kind == "bar_engine":
            drag = max((each.drag for each in self._bench.world.elements if isinstance(each, Starter)), default=1.0)
            return "locked" if drag > 20 else "heavy" if drag > 1.4 else "free"
        return None

    def _controls(self, check: Check, ids: Sequence[str]) -> str:
        """Which control does not stand as it must, for somebody who looks at each; no answer may stand for it."""
        wrong = [
            adaptor_points.CONTROLS[name] for f in self._faults for name in f.stands if name in adaptor_points.CONTROLS
        ]
        return next((each for each in wrong if each in ids), check.good)

    def _walk(self, check: Check) -> str:
        """Volts along the start wire at START: across which switch, or between which, a volt or more is lost."""
        setup = self._setup(check)
        key, relay = (adaptor_points.point(self._machine, name) for name in ("key_start_out", "relay_coil_feed"))
        if key is None or relay is None:
            return NOT_FITTED
        volts = {name: self._bench.volts(name, self._machine.reference, setup) for name in (key, relay)}
        if volts[key] < self._machine.volts / 3:
            return "no_feed"
        for each in self._machine.seen.interlocks:
            if not self._has(f"{each}_in", f"{each}_out", setup):
                continue  # a switch in the ground of the coil, or one that only tells a controller
            if self._bench.volts(f"{each}_in", f"{each}_out", setup) >= 1:
                return "switch"
        return "wire" if volts[key] - volts[relay] >= 1 else check.good

    def _battery(self, check: Check) -> Battery | None:
        trade = adaptor_parts.parts(check.id.partition(".")[2])
        found = [each for each in self._bench.world.elements if isinstance(each, Battery) and part_of(each) in trade]
        return found[0] if found else None

    def _load_test(self, check: Check, ids: Sequence[str]) -> str | None:
        """15 s at half its cold cranking amps: 9.6 V at 70 F (trade table)."""
        battery = self._battery(check)
        if battery is None:
            return NOT_FITTED

        given = -amps_of(
            source_of(battery, self._bench.world.air_c), 9.6 - 0.02 * max(0, 21 - self._bench.world.air_c)
        )[0]
        if given < battery.cca * 0.1 or battery.opens_above < battery.cca / 2:
            return ids[0]
        return check.good if given >= battery.cca / 2 else "fails"

    def _gravity(self, check: Check) -> str | None:
        battery = self._battery(check)
        if battery is None:
            return NOT_FITTED
        return "one_low" if battery.lost_cells else "all_low" if battery.charge < 0.6 else check.good
