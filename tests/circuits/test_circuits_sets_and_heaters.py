"""A generating set cranks when it is asked in its mode and never else; an intake heater takes what Ohm's law says.

Figures are common practice, no source, or worked out beside them.
"""

from __future__ import annotations

from functools import cache
from itertools import product

import pytest

from coldiron.book.checks import Reads
from coldiron.circuits.readings import read
from coldiron.circuits.trial import Bench
from support import networks

CRANKS = 0.75
"""Share of the usual speed from which the book says that an engine turns as it should."""


@cache
def bench(circuit: str) -> Bench:
    return Bench(networks.machine(f"shipped {circuit}"))


def shown(circuit: str, reads: Reads, *faults: str, **settings: str) -> float:
    """What is read on a machine with these faults that stands so; in V, A or a share."""
    one = bench(circuit)
    return read(reads, networks.trial(one, *faults), one.layout.state(settings))


def turns(*faults: str, **settings: str) -> bool:
    return shown("generating_set", Reads("turn", part="starter"), *faults, **settings) >= CRANKS


STANDS = tuple(product(("off", "on", "start"), ("off", "hand", "auto"), ("out", "pressed"), ("open", "closed")))


@pytest.mark.parametrize(("key", "mode", "stop", "remote"), STANDS)
def test_a_set_cranks_when_asked_in_its_mode_and_never_else(key: str, mode: str, stop: str, remote: str) -> None:
    """In hand by START at its key, in auto by the remote contact alone; never at off, nor with a stop pressed."""
    asked = (mode == "hand" and key == "start") or (mode == "auto" and key != "off" and remote == "closed")
    stands = {"key": key, "set_mode": mode, "emergency_stop": stop, "remote_start": remote}
    assert turns(**stands) == (asked and stop == "out")


@pytest.mark.parametrize("fault", ["set_lockout.latched", "crank_disconnect.false_speed", "set_mode_switch.left_off"])
def test_a_lock_out_a_false_speed_and_the_mode_refuse_in_hand_and_in_auto(fault: str) -> None:
    """The display stays lit meanwhile: the panel looks alive, and nothing happens."""
    assert not turns(fault, key="start")
    assert not turns(fault, key="on", set_mode="auto", remote_start="closed")
    assert shown("generating_set", Reads("glow", part="dash_lamps"), fault, key="on") > CRANKS


def test_a_lost_speed_signal_takes_the_fuel_and_leaves_the_crank() -> None:
    assert turns("speed_signal.lost", key="start")
    assert shown("generating_set", Reads("glow", part="hold_coil"), "speed_signal.lost", key="on") < 1 - CRANKS
    assert shown("generating_set", Reads("glow", part="hold_coil"), key="on") > CRANKS


def test_what_a_charger_gives_is_bounded_by_ohms_law() -> None:
    """At most (13.6 V - 12.65 V) over 0.325 ohm of charger, lead and battery: 2.92 A; what batteries dip is less."""
    amps = Reads("amps", part="float_charger")
    assert 2.5 < shown("generating_set", amps, charger="on") < 0.95 / 0.325
    assert shown("generating_set", amps) == pytest.approx(0, abs=1e-6)
    assert shown("generating_set", amps, "float_charger.no_mains", charger="on") == pytest.approx(0, abs=1e-6)


def test_an_intake_heater_takes_a_hundred_amperes_at_on_and_none_while_cranking() -> None:
    """12.65 V over 0.1 ohm of the grid and 5 to 10 thousandths of all on its way: between 110 and 121 A."""
    amps = Reads("amps", part="intake_heater")
    assert 12.65 / 0.115 < shown("intake_heater", amps, key="on") < 12.65 / 0.105
    for key in ("off", "start"):
        assert shown("intake_heater", amps, key=key) == pytest.approx(0, abs=1e-3)


def test_a_welded_heater_relay_heats_at_every_place_of_the_key() -> None:
    amps = Reads("amps", part="intake_heater")
    assert all(shown("intake_heater", amps, "grid_relay.welded", key=key) > 80 for key in ("off", "on", "start"))
