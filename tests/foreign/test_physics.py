"""The solver of the foreign machines against figures that others published and circuits worked by hand."""

from __future__ import annotations

import pytest

from foreign.elements import Battery, Lamp, Starter, Wire
from foreign.network import Bent, Net, Straight
from foreign.paths import wire_mohm
from foreign.physics import amps_of, lamp_amps, motor_of, source_of


def battery(**more: float) -> Battery:
    return Battery.model_validate(
        {"kind": "battery", "id": "b", "plus": "p", "minus": "m", "cca": 700, "ah": 80, **more}
    )


@pytest.mark.parametrize(("charge", "low", "high"), [(1.0, 12.6, 12.65), (0.75, 12.4, 12.45), (0.5, 12.2, 12.24)])
def test_rested_volts_are_published(charge: float, low: float, high: float) -> None:
    """TM 5-3805-262-20 p. 5-142 and a battery supplier's table, at 80 F."""
    assert low - 0.011 <= source_of(battery(charge=charge), 26.7).emf <= high + 0.011


def test_cold_cranking_amps_leave_volts_to_crank() -> None:
    """SAE J537: at -18 C a full battery holds 7.2 V at its cold cranking amps; the dip of heavy load comes on top."""
    source = source_of(battery(), -17.8)
    amps, _ = amps_of(source, 7.2 - 0.35)
    assert -amps == pytest.approx(700, rel=0.03)


@pytest.mark.parametrize(("fahrenheit", "share"), [(80, 1.0), (30, 0.65), (0, 0.40)])
def test_cold_takes_cranking_power(fahrenheit: float, share: float) -> None:
    """TM 5-1185: a full battery has 100, 65 and 40 % of its cranking power at 80, 30 and 0 F."""
    warm, cold = source_of(battery(), 26.7).ohm, source_of(battery(), (fahrenheit - 32) / 1.8).ohm
    assert warm / cold == pytest.approx(share, rel=0.03)


@pytest.mark.parametrize("fahrenheit_and_volts", [(70, 9.6), (50, 9.4), (30, 9.1), (10, 8.7)])
def test_a_sound_battery_passes_its_load_test(fahrenheit_and_volts: tuple[float, float]) -> None:
    """15 s at half its cold cranking amps: 9.6 V at 70 F down to 8.7 at 10 F: a trade table (BCI from memory)."""
    fahrenheit, least = fahrenheit_and_volts
    source = source_of(battery(), (fahrenheit - 32) / 1.8)
    amps, _ = amps_of(source, least)
    assert -amps >= 350


@pytest.mark.parametrize(("mm2", "published"), [(6, 3.30), (16, 1.21), (35, 0.554), (70, 0.272), (95, 0.206)])
def test_wires_have_the_ohms_of_the_standard(mm2: float, published: float) -> None:
    """IEC 60228 class 5, ohm per km at 20 C: no wire is better than its metal or worse than the standard."""
    wire = Wire.model_validate({"kind": "wire", "id": "w", "a": "p", "b": "m", "mm2": mm2, "m": 1})
    assert 17.24 / mm2 <= wire_mohm(wire, 20) <= published * 1.02


def test_a_filament_draws_its_watts_and_more_when_cold() -> None:
    lamp = Lamp.model_validate({"kind": "lamp", "id": "l", "a": "p", "b": "m", "watts": 21, "volts": 12})
    assert lamp_amps(lamp, 12)[0] == pytest.approx(1.75)
    assert 5 * 1.75 / 12 <= lamp_amps(lamp, 0)[1] <= 20 * 1.75 / 12


def test_two_resistors_and_a_battery_by_hand() -> None:
    """12 V over 1 and 2 ohms: 8 V across the second, 4 A."""
    net = Net(
        ("plus", "middle", "minus"),
        "minus",
        [Straight("battery", "plus", "minus", 1e4, 12.0), Straight("one", "plus", "middle", 1.0)],
        [Bent("two", "middle", "minus", lambda v: (v / 2, 0.5))],
    )
    assert net.solve()["middle"] == pytest.approx(8.0, abs=1e-2)


def test_a_motor_does_on_a_sound_machine_what_its_file_says() -> None:
    """At its volts it draws its amps at its speed, and locked only its ohms count: worked by hand."""
    told = {"pull_in": 0.3, "hold_in": 1.0, "pull": 7, "hold": 3, "contact_mohm": 0.3, "armature_mohm": 10}
    ends = {"kind": "starter", "id": "s", "stud": "b", "s": "s", "motor": "m", "case": "c"}
    starter = Starter.model_validate({**ends, **told, "crank_amps": 250, "crank_volts": 10})
    motor = motor_of(starter, starter, 20, 1)
    assert motor.speed(10) == pytest.approx(1.0)
    assert motor.amps(10)[0] == pytest.approx(250)
    assert motor.amps(1)[0] == pytest.approx(100)
