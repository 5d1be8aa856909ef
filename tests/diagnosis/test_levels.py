"""A fault is as bad for one reading as for the next: what hangs on how bad it is, is no news twice."""

from __future__ import annotations

from dataclasses import dataclass
from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.history import COMPLAINT
from coldiron.choice.judge import Judge
from coldiron.circuits import Predictor, compose
from coldiron.inference.columns import BETWEEN
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.inference.table import BookTable
from support.mechanic import shipped

DARK = 0
MODEL = FaultModel(odds={"poor": 1, "dead": 1}, sizes=(1.0,), unknown=0.0)


@dataclass
class Lamps:
    """Lamps behind one joint. A poor one leaves all of them bright or all dark, a dead one dark nine times in ten."""

    levels_of: tuple[float, ...] = (0.01, 0.99)

    def levels(self, _: str, faults: frozenset[str], /) -> tuple[tuple[float, ...], ...]:
        dark = {"poor": self.levels_of, "dead": (0.9,)}.get("".join(sorted(faults)), (0.01,))
        return tuple((chance, 1 - chance) for chance in dark)

    def chances(self, check: str, faults: frozenset[str], /) -> tuple[float, ...]:
        rows = self.levels(check, faults)
        return tuple(sum(column) / len(rows) for column in zip(*rows, strict=True))


def odds_of_poor(table: Lamps, lamps: int) -> float:
    readings = tuple(Reading(f"lamp_{number}", DARK) for number in range(lamps))
    belief = Judge(MODEL, table).belief(Evidence(readings))
    return belief.chance("poor") / belief.chance("dead")


def test_more_dark_lamps_behind_one_joint_tell_hardly_more() -> None:
    """The first lets the poor joint fall to 0.5 against 0.9; eight more of the same do not bury it."""
    assert odds_of_poor(Lamps(), 1) == pytest.approx(0.5 / 0.9)
    assert odds_of_poor(Lamps(), 9) >= 0.5
    assert (0.5 / 0.9) ** 9 < 0.01


@given(st.lists(st.floats(0.01, 0.99), min_size=1, max_size=4), st.integers(2, 6))
def test_readings_add_up_level_by_level(levels: list[float], lamps: int) -> None:
    """The mean over the levels of all readings together; and, as levels are few, some of each reading by itself."""
    together = sum(dark**lamps for dark in levels) / len(levels)
    apart = (sum(levels) / len(levels)) ** lamps
    wanted = (1 - BETWEEN) * together + BETWEEN * apart if max(levels) > min(levels) else together
    assert log(odds_of_poor(Lamps(tuple(levels)), lamps)) == pytest.approx(log(wanted) - lamps * log(0.9), abs=1e-6)


@pytest.mark.parametrize("circuit", ["interlocks", "tap_12v"])
def test_levels_of_the_book_are_those_of_its_chances(circuit: str) -> None:
    """On a machine of the shipped book: what the levels come to on the average is what is read of the fault."""
    machine = compose(shipped(), circuit)
    table = BookTable(machine, Predictor(machine))
    several = 0
    for fault in list(machine.faults)[::7]:
        for check in (COMPLAINT, *machine.checks):
            rows = table.levels(check, frozenset((fault,))) or (table.chances(check, frozenset((fault,))),)
            several += len(rows) > 1
            mean = [sum(column) / len(rows) for column in zip(*rows, strict=True)]
            assert mean == pytest.approx(table.chances(check, frozenset((fault,))), abs=1e-9)
            assert sum(mean) == pytest.approx(1)
            assert check != COMPLAINT or table.levels(check, frozenset((fault,))) == ()
    assert several > 100
