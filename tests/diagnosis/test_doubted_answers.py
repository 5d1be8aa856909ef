"""Which answer does not fit the others, and what each answer did."""

from __future__ import annotations

from dataclasses import replace
from math import log
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.choice.doubt import changes, contradiction, expected
from coldiron.choice.judge import Hearing, Judge
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from support.fault_tables import CellTable, DetectionTable, subsets
from support.fault_yard import Yard

YES, NO = 0, 1
RATES = {f"check_{n}": {"true": 0.97, "other": 0.03} for n in range(5)}
TABLE = DetectionTable({**RATES, "wrong": {"true": 0.99, "other": 0.1}, "idle": {}}, {"wrong": 0.01})
MODEL = FaultModel(odds={"true": 1, "other": 1, "third": 1})


def speaks_for_true(count: int = 5) -> tuple[Reading, ...]:
    return tuple(Reading(f"check_{n}", YES) for n in range(count))


def test_the_one_wrong_answer_among_right_ones_is_named() -> None:
    """And what it should have been, and what the others speak for."""
    judge, evidence = Judge(MODEL, TABLE), Evidence((*speaks_for_true(), Reading("wrong", NO)))
    found = contradiction(judge, evidence)
    assert found is not None
    assert (found.check, found.finding, found.epoch) == ("wrong", NO, 0)
    assert expected(judge, evidence, found) == YES
    assert found.chance < 0.05
    assert found.without[0] == ("true",)
    assert found.without[1] > 0.7
    assert found.shortfall > 2.5


def test_answers_that_fit_are_not_doubted() -> None:
    """Nor is a single answer, however strange."""
    judge = Judge(MODEL, TABLE)
    assert contradiction(judge, Evidence((*speaks_for_true(), Reading("wrong", YES)))) is None
    assert contradiction(judge, Evidence((Reading("wrong", NO),))) is None
    assert contradiction(judge, Evidence()) is None


def test_an_answer_that_is_a_little_unusual_is_not_doubted() -> None:
    """One in five does happen."""
    table = DetectionTable({"often": {"true": 0.8}, "sure": {"true": 0.9999}}, {"often": 0.001, "sure": 0.001})
    judge = Judge(replace(MODEL, unknown=0.001), table)
    assert contradiction(judge, Evidence((Reading("sure", YES), Reading("often", NO)))) is None


def test_a_rare_fault_that_explains_everything_is_no_contradiction() -> None:
    """Each answer is unlikely beforehand, and together they fit."""
    model = FaultModel(odds={"true": 0.001, "other": 1, "third": 1})
    assert contradiction(Judge(model, TABLE), Evidence(speaks_for_true())) is None


def test_a_wrong_answer_is_looked_for_before_an_unknown_fault_is_blamed() -> None:
    """Two answers that no fault of the book gives together: one of them is named, not only the unknown fault."""
    cells = {
        name: {faults: (0.98, 0.02) if own in faults else (0.02, 0.98) for faults in subsets(("left", "right"))}
        for name, own in (("left_dead", "left"), ("right_dead", "right"))
    }
    cells["far_end"] = dict.fromkeys(subsets(("left", "right")), (0.001, 0.999))
    cells["near_end"] = dict.fromkeys(subsets(("left", "right")), (0.001, 0.999))
    judge = Judge(FaultModel(odds={"left": 1, "right": 1}), CellTable(cells))
    evidence = Evidence((Reading("left_dead", YES), Reading("far_end", YES), Reading("near_end", YES)))
    found = contradiction(judge, evidence)
    assert found is not None
    assert found.unknown > 0.5
    assert found.check in {"far_end", "near_end"}
    assert expected(judge, evidence, found) == NO


def against_one(number: int) -> tuple[Judge, Evidence]:
    """Readings that speak against a fault, each a little, and one that speaks for it more than three of them."""
    rates = {f"calm_{n:02}": {"true": 0.97} for n in range(number)}
    table = DetectionTable({**rates, "wild": {"true": 1 - 1e-6}}, dict.fromkeys(rates, 0.03) | {"wild": 1e-6})
    readings = (*(Reading(name, NO) for name in rates), Reading("wild", YES))
    return Judge(replace(MODEL, unknown=0.0, floor=0.0), table), Evidence(readings)


def test_one_wild_reading_is_taken_again_and_not_one_of_three_that_agree() -> None:
    """By the odds the wild one wins, so the other three fit least; still it is the one that the others speak against.

    Common practice, no source: the odd reading out is taken again first.
    """
    judge, evidence = against_one(3)
    assert judge.belief(evidence).chance("true") > 0.5
    found = contradiction(judge, evidence)
    assert found is not None
    assert found.check == "wild"
    assert expected(judge, evidence, found) == NO


def test_of_many_readings_only_a_few_are_weighed_anew() -> None:
    """Whoever waits for the next page does not wait for each of twenty readings to be left out in turn."""
    judge, evidence = against_one(20)
    with patch.object(Hearing, "otherwise", autospec=True, side_effect=Hearing.otherwise) as weighed:
        assert contradiction(judge, evidence) is not None
    assert weighed.call_count <= 5


def test_an_answer_before_a_repair_can_be_the_one_to_doubt() -> None:
    """The epoch is named with it."""
    judge = Judge(MODEL, TABLE)
    again = tuple(Reading(f"check_{n}", YES, 1) for n in range(5))
    evidence = Evidence((*speaks_for_true(), Reading("wrong", NO), *again), (frozenset({"third"}),))
    found = contradiction(judge, evidence)
    assert found is not None
    assert (found.check, found.epoch) == ("wrong", 0)


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 300))
def test_a_flipped_answer_is_named_more_often_than_not(seed: int) -> None:
    """On a made-up machine with all checks read as they should and one turned round: if any is doubted, it is that."""
    yard = Yard(seed, faults=12, checks=24, pairs=0.0)
    readings = list(yard.likeliest_readings())
    hidden = next(iter(yard.truth))
    telling = [n for n, r in enumerate(readings) if hidden in yard.table.detects[r.check]]
    turned = telling[seed % len(telling)]
    readings[turned] = Reading(readings[turned].check, 1 - (readings[turned].finding or 0))
    found = contradiction(Judge(yard.model, yard.table), Evidence(tuple(readings)))
    if found is not None and len(telling) > 2:
        assert found.check == readings[turned].check


def test_what_each_answer_did_adds_up_for_a_single_fault() -> None:
    """With one fault, certain conditions of independence: the changes sum to the whole change of log-odds."""
    model = FaultModel(odds={"true": 1, "other": 3}, sizes=(1.0,), unknown=0.0)
    judge = Judge(model, TABLE)
    evidence = Evidence((*speaks_for_true(3), Reading("wrong", NO)))
    found = changes(judge, evidence, "true")
    p, q = judge.belief(Evidence()).chance("true"), judge.belief(evidence).chance("true")
    assert sum(change.log_odds for change in found) == pytest.approx(log(q / (1 - q)) - log(p / (1 - p)))
    assert found[-1].check != "wrong" or found[0].check == "wrong"
    assert [abs(c.log_odds) for c in found] == sorted((abs(c.log_odds) for c in found), reverse=True)
    assert next(c for c in found if c.check == "wrong").log_odds < 0
    assert next(c for c in found if c.check == "check_0").log_odds > 0


def test_an_answer_that_tells_nothing_changed_nothing() -> None:
    """And it comes last."""
    model = replace(MODEL, unknown=0.0)
    found = changes(Judge(model, TABLE), Evidence((*speaks_for_true(2), Reading("idle", YES))), "true")
    assert found[-1].check == "idle"
    assert found[-1].log_odds == pytest.approx(0.0)
