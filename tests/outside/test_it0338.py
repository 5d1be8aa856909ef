"""US Army subcourse IT0338: halve what is left between the last good place and the first bad one.

The rule is read in a stored copy (armyintelligence.tpub.com/IT0338/Answers-For-Frame-15-36.htm). It prints no figures;
the counts below are derived from it: n places in a row, one of them bad, every place as likely, a check at each border.
Halving 8 takes 3 checks always, walking from one end takes 1 to 7 and 35/8 on average; 6 takes 16/6 on average and 3 at
most; 16 takes 4, walking 135/16.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from coldiron.planner.planner import Node, Test, plan
from support.shop import begin, first_part, next_step, part_chance, told

COUNTS = ((8, Fraction(3), 3), (6, Fraction(16, 6), 3), (16, Fraction(4), 4))
"""Places, checks on average, checks at most (derived)."""


def borders(places: int) -> list[Test]:
    """A check at every border: positive if the bad place lies before it."""
    return [Test(f"border {at}", 1.0, [float(place < at) for place in range(places)]) for at in range(1, places)]


def deepest(node: Node) -> int:
    return 1 + max(deepest(after) for _, _, after in node.branches) if node.branches else 0


@pytest.mark.parametrize(("places", "average", "most"), COUNTS)
def test_equal_places_in_a_row_are_halved(places: int, average: Fraction, most: int) -> None:
    policy = plan([1.0] * places, borders(places))
    assert policy.expected_cost == pytest.approx(float(average))
    assert deepest(policy.tree) == most


@pytest.mark.parametrize(("places", "average"), [(8, Fraction(35, 8)), (6, Fraction(20, 6)), (16, Fraction(135, 16))])
def test_walking_from_one_end_costs_more(places: int, average: Fraction) -> None:
    """The mean of 1, 2, ... n-1, n-1 checks (derived), and the plan beats it."""
    assert Fraction(sum(range(1, places)) + places - 1, places) == average
    assert plan([1.0] * places, borders(places)).expected_cost < float(average)


def test_the_first_check_of_eight_is_in_the_middle() -> None:
    assert plan([1.0] * 8, borders(8)).test == "border 4"


STATIONS = ("neutral_switch", "neutral_to_brake", "brake_switch", "brake_to_seat", "seat_switch", "seat_to_relay")
BRACKET = {"start_from_seat": "same", "key_start_volts": "12.4", "relay_coil_volts": "0.0"}
"""The start wire of a machine with three interlocks in a row: good at the key switch, dead at the relay."""


def test_between_a_good_place_and_a_bad_one_the_middle_is_checked() -> None:
    """Not from one end: each answer about the middle leaves less than two thirds of what was suspected."""
    job = told(begin("interlocks", "silent"), {"controls_look": "set", **BRACKET})
    assert next_step(job) in {"brake_out_volts", "seat_in_volts"}  # the two ends of one wire in the middle
    behind = sum(part_chance(job, part) for part in STATIONS[3:])
    before = sum(part_chance(job, part) for part in ("start_wire", *STATIONS[:3]))
    assert behind < 0.67
    assert before < 0.67


@pytest.mark.parametrize(
    ("places", "between"),
    [
        ({"neutral_out_volts": "12.4", "brake_out_volts": "0"}, {"neutral_to_brake", "brake_switch"}),
        ({"neutral_out_volts": "0"}, {"start_wire", "neutral_switch"}),
        ({"seat_out_volts": "12.4"}, {"seat_to_relay", "relay_coil_grip"}),
    ],
)
def test_what_is_left_lies_between_the_good_place_and_the_bad_one(places: dict[str, str], between: set[str]) -> None:
    job = told(begin("interlocks", "silent"), {**BRACKET, **places})
    assert first_part(job) in between
    assert all(part_chance(job, part) < 0.05 for part in {"start_wire", *STATIONS} - between)
