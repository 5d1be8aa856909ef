"""Sizes of faults: every effect goes from its mild end to its severe one, whichever is the greater figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.faults import AddsOhms, Leaks, ScalesValue, SetsValue
from coldiron.circuits.simulated import PERFECT, SimulatedMachine
from coldiron.circuits.stamps import size
from support.shop import book, circuits, machine

FIGURES = st.floats(min_value=1e-3, max_value=1e3)
SHARES = st.floats(min_value=0.0, max_value=1.0)


@given(FIGURES, FIGURES, SHARES, SHARES)
def test_a_worse_size_lies_nearer_to_the_severe_end(mild: float, severe: float, one: float, other: float) -> None:
    """For effects of every form, in both directions; the ends are the ends."""
    lesser, worse = sorted((one, other))
    for effect in (
        AddsOhms(mild, severe),
        Leaks("feed", "frame", mild, severe),
        SetsValue("volts", mild, severe),
        ScalesValue("ohms", mild, severe),
    ):
        assert size(effect, 0.0) == pytest.approx(mild)
        assert size(effect, 1.0) == pytest.approx(severe)
        left = [abs(size(effect, share) - severe) for share in (lesser, worse)]
        assert left[1] <= left[0] + 1e-9 * (mild + severe)


@pytest.mark.parametrize("circuit", [name for name in circuits(12) if name != "series_start"])
def test_a_battery_run_down_further_first_turns_slowly_then_chatters_then_is_silent(circuit: str) -> None:
    """On every start circuit of one 12 V battery, in this order: the plunger lets go in the dip of the starting motor.

    Common practice, no source: rapid clicking is a battery that pulls the plunger in and cannot hold it.
    """
    found = []
    for along in (0.0, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0):
        real = SimulatedMachine(machine(circuit), ["battery.flat"], 1, PERFECT, {"battery.flat": along})
        click, turn = (book().checks[name] for name in ("solenoid_click", "starter_turn"))
        moves = real.solved(turn.reads, turn.state) > 0
        found.append("turns" if moves else {0.5: "chatters", 0.0: "silent"}[real.solved(click.reads, click.state)])
    order = ["turns", "chatters", "silent"]
    assert found == sorted(found, key=order.index)
    assert set(found) == set(order)
