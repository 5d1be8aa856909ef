"""Repairs end epochs; derived findings silence what they were made of; unknown cells say nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.choice.judge import Judge
from coldiron.inference.bounds import Bounds
from coldiron.inference.descent import Link
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel, Prior
from coldiron.inference.limits import Limits
from support.fault_tables import CellTable, DetectionTable, random_cells, seeded, subsets

YES, NO = 0, 1
DEAD = DetectionTable({"dead": {"a": 1.0, "b": 1.0, "link": 1.0, "short": 1.0}}, {"dead": 0.0})


def test_a_repair_that_helps_leaves_a_sound_machine() -> None:
    """The machine was dead, one part was repaired, now it works."""
    model = FaultModel(odds={"a": 1, "b": 1})
    evidence = Evidence((Reading("dead", YES), Reading("dead", NO, 1)), (frozenset("a"),))
    belief = Judge(model, DEAD).belief(evidence)
    assert belief.sound > 0.98
    assert belief.sets[0][0] == ()


def test_a_repair_that_does_not_help_turns_to_the_other_part() -> None:
    """Unless it is likelier that the repair failed."""
    model = FaultModel(odds={"a": 1, "b": 1}, unknown=0.0)
    evidence = Evidence((Reading("dead", YES), Reading("dead", YES, 1)), (frozenset("a"),))
    belief = Judge(model, DEAD).belief(evidence)
    assert belief.suspects[0][0] == "b"
    alone, both = 0.85 / 0.97 / 2, 0.12 / 0.97
    failed = 0.03
    mass = alone * failed + alone + both
    assert belief.chance("a") == pytest.approx((alone * failed + both * failed) / mass, abs=1e-4)


def test_a_victim_fails_again_while_its_cause_is_there() -> None:
    """A link is renewed while the short that blew it stays: it blows again at the chance of the chain."""
    model = FaultModel(odds={"short": 1, "link": 1}, links=(Link("short", "link", 0.9),), unknown=0.0, repair_fails=0.0)
    table = DetectionTable(
        {"short_seen": {"short": 1.0}, "link_seen": {"link": 1.0}}, {"short_seen": 0, "link_seen": 0}
    )
    both = (Reading("short_seen", YES), Reading("link_seen", YES))
    after = Judge(model, table).belief(Evidence(both, (frozenset({"link"}),)))
    assert after.chance("link") == pytest.approx(0.9, abs=1e-3)
    together = Judge(model, table).belief(Evidence(both, (frozenset({"link", "short"}),)))
    assert together.sound == pytest.approx(1.0, abs=1e-3)


def test_a_repair_may_disturb_a_neighbour() -> None:
    """At its declared chance, and no other part."""
    model = FaultModel(
        odds={"a": 1, "b": 1, "c": 1}, neighbours={"a": ("b",)}, sizes=(1.0,), unknown=0.0, repair_fails=0, disturbs=0.2
    )
    table = DetectionTable({"a_seen": {"a": 1.0}}, {"a_seen": 0.0})
    belief = Judge(model, table).belief(Evidence((Reading("a_seen", YES),), (frozenset("a"),)))
    assert belief.chance("b") == pytest.approx(0.2, abs=1e-3)
    assert belief.chance("c") == pytest.approx(0.0, abs=1e-3)


def test_a_fault_that_comes_and_goes_is_not_cleared_by_one_good_epoch() -> None:
    """All readings of one epoch were good; that the fault hid is what remains."""
    table = DetectionTable({f"check_{n}": {"a": 0.99} for n in range(4)} | {"b_seen": {"b": 0.9}})
    good = tuple(Reading(f"check_{n}", NO) for n in range(4))
    steady = Judge(FaultModel(odds={"a": 1, "b": 1}), table).belief(Evidence(good))
    fickle = Judge(FaultModel(odds={"a": 1, "b": 1}, shows_now={"a": 0.4}), table).belief(Evidence(good))
    assert steady.chance("a") < 0.15
    assert fickle.chance("a") > 0.35
    shown = [h for h in fickle.hypotheses if h.faults == ("a",)]
    assert {h.shown for h in shown} == {("a",), ()}
    assert shown[0].shown == ()


@given(st.integers(0, 10_000), st.floats(0.1, 5), st.floats(0.1, 5))
def test_an_unknown_cell_neither_helps_nor_hurts(seed: int, one: float, other: float) -> None:
    """Hearing a finding whose chance under a fault nobody knows leaves the fault's probability where it was."""
    rng = seeded(seed)
    table = random_cells(rng, ["a", "b", "c"], checks=1)
    cells = {s: (None,) * len(row) if "c" in s else row for s, row in table.cells["check_0"].items()}
    model = FaultModel(odds={"a": one, "b": other, "c": 1.0}, sizes=(1.0,), unknown=0.0)
    judge = Judge(model, CellTable({"check_0": cells}))
    before, after = judge.belief(Evidence()), judge.belief(Evidence((Reading("check_0", 0),)))
    assert after.chance("c") == pytest.approx(before.chance("c"))
    assert after.chance("a") / after.chance("b") == pytest.approx(
        one / other * (cells[frozenset("a")][0] or 0) / (cells[frozenset("b")][0] or 1)
    )


def test_a_check_of_which_nothing_is_known_changes_nothing() -> None:
    """No cell, no evidence."""
    cells: dict[frozenset[str], tuple[float | None, ...]] = dict.fromkeys(subsets("ab"), (None, None))
    judge = Judge(FaultModel(odds={"a": 1, "b": 3}, unknown=0.0), CellTable({"blank": cells}))
    assert judge.belief(Evidence((Reading("blank", 0),))).suspects == judge.belief(Evidence()).suspects


def test_a_derived_finding_speaks_for_the_readings_it_was_made_of() -> None:
    """Low volts at one point look like two faults; the drop worked out from two readings names one of them.

    The masked reading neither helps nor hurts the joint any more; it still tells the other two apart.
    """
    rates = {"volts": {"joint": 0.9, "battery": 0.9, "key": 0.1}, "drop": {"joint": 0.95, "battery": 0.02, "key": 0.02}}
    model = FaultModel(odds={"joint": 1, "battery": 1, "key": 1}, sizes=(1.0,), unknown=0.0)
    judge = Judge(model, DetectionTable(rates))
    volts, drop = Reading("volts", YES), Reading("drop", YES)
    masked = Reading("drop", YES, masks=(("volts", frozenset({"joint"})),))
    alone = judge.belief(Evidence((drop,)))
    replaced = judge.belief(Evidence((volts, masked)))
    counted_twice = judge.belief(Evidence((volts, drop)))
    rest = replaced.chance("battery") / replaced.chance("key")
    assert rest == pytest.approx(counted_twice.chance("battery") / counted_twice.chance("key"))
    assert replaced.chance("joint") == pytest.approx(alone.chance("joint"), abs=0.01)
    assert replaced.chance("joint") < counted_twice.chance("joint")


def test_a_mask_holds_in_its_own_epoch_only() -> None:
    """A reading of another epoch keeps its say."""
    model = FaultModel(odds={"a": 1, "b": 1}, sizes=(1.0,))
    judge = Judge(model, DetectionTable({"volts": {"a": 0.9}, "drop": {"a": 0.9}}))
    mask = (("volts", frozenset({"a"})),)
    repaired = (frozenset[str](),)
    with_mask = Evidence((Reading("volts", YES), Reading("drop", YES, 1, mask)), repaired)
    without = Evidence((Reading("volts", YES), Reading("drop", YES, 1)), repaired)
    assert judge.belief(with_mask) == judge.belief(without)


def test_more_faults_than_the_limit_are_not_judged() -> None:
    """The largest set is a parameter."""
    model = FaultModel(odds=dict.fromkeys("abcd", 1.0))
    largest = {
        limit: max(len(faults) for faults, _ in Judge(model, DetectionTable({}), Limits(limit)).belief(Evidence()).sets)
        for limit in (1, 2, 3)
    }
    assert largest == {1: 1, 2: 2, 3: 3}


def test_a_repaired_fault_explains_nothing_that_was_read_after_the_repair() -> None:
    """Where leading sets are looked for, too."""
    model = FaultModel(odds=dict.fromkeys("abc", 1.0))
    judge = Judge(model, DetectionTable({"volts": {"a": 0.9, "b": 0.9}}))
    evidence = Evidence((Reading("volts", YES), Reading("volts", YES, 1)), (frozenset("a"),))
    bounds = Bounds(Prior(model), judge.hear(evidence).told, evidence.repairs)
    assert bounds.gains["a"][0] == bounds.gains["b"][0] == bounds.gains["b"][1] > 0
    assert bounds.gains["a"][1] == 0


@pytest.mark.parametrize("hides", [0.0, 0.5])
def test_a_set_that_is_seen_to_contradict_the_readings_is_left_out(hides: float) -> None:
    """Each of two faults explains one reading and together they would show neither; unless one of them may hide."""
    model = FaultModel(odds=dict.fromkeys("ab", 1.0), shows_now={"a": 1 - hides} if hides else {})
    shows = {frozenset[str](): (0.01, 0.99), frozenset("a"): (0.9, 0.1), frozenset("b"): (0.5, 0.5)}
    cells = {"volts": {**shows, frozenset("ab"): (1e-9, 1 - 1e-9)}, "drop": {**shows, frozenset("ab"): (0.9, 0.1)}}
    judge = Judge(model, CellTable(cells))
    evidence = Evidence((Reading("volts", YES), Reading("drop", YES)))
    bounds = Bounds(Prior(model), judge.hear(evidence).told, evidence.repairs)
    assert bounds.family_stands(("a", "b"), Limits()) is bool(hides)
    assert bounds.family_stands(("a", "b"), Limits(far=0.0)) is False
    assert bounds.family_stands(("a", "b"), Limits(ruled_out=100.0)) is True
