"""What comes and goes: a good reading on a good day clears little, and a bad one still tells."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.choice.judge import Judge
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.inference.flickering import Flickering, unsteady
from support.fault_tables import DetectionTable, random_cells, random_model, seeded

EVEN = FaultModel(odds={"a": 1.0, "b": 1.0}, sizes=(1.0,), unknown=0.0)
TABLE = DetectionTable({"volts": {"a": 0.98}, "look": {"a": 0.98}})
GOOD, BAD = 1, 0


def chance_of_a(there: float, *readings: Reading) -> float:
    judge = Judge(unsteady(EVEN), Flickering(TABLE, {"look"}, there))
    return judge.belief(Evidence(readings)).chance("a")


@given(st.integers(0, 5000), st.floats(0.05, 0.95))
@settings(deadline=None, max_examples=50)
def test_rows_stay_chances_and_lie_between_the_fault_and_a_sound_machine(seed: int, there: float) -> None:
    """Of any table: they sum to 1, and no finding is likelier than both make it."""
    rng = seeded(seed)
    model = random_model(rng, 3)
    table = random_cells(rng, model.odds, checks=2)
    flickering = Flickering(table, (), there)
    sound = table.chances("check_0", frozenset())
    for name in model.odds:
        plain = table.chances("check_0", frozenset({name}))
        row = flickering.chances("check_0", frozenset({name}))
        assert sum(chance or 0.0 for chance in row) == pytest.approx(1.0)
        for chance, one, well in zip(row, plain, sound, strict=True):
            assert chance is not None
            assert one is not None
            assert well is not None
            assert min(one, well) - 1e-9 <= chance <= max(one, well) + 1e-9


def test_a_good_reading_on_a_good_day_clears_little() -> None:
    """Steady it clears the wire; of what is there every other time it leaves a third."""
    assert chance_of_a(1.0, Reading("volts", GOOD)) < 0.05
    assert chance_of_a(0.5, Reading("volts", GOOD)) == pytest.approx(1 / 3, abs=0.02)


def test_a_bad_reading_tells_all_the_same() -> None:
    """A sound machine does not read like that."""
    assert chance_of_a(0.5, Reading("volts", BAD)) > 0.9


def test_eyes_find_it_on_a_good_day_too() -> None:
    """A plug that looks good clears as much as on any day."""
    assert chance_of_a(0.5, Reading("look", GOOD)) == pytest.approx(chance_of_a(1.0, Reading("look", GOOD)))
