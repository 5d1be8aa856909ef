"""When a verdict is given, what it blames, and what keeps it back."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron.choice.choice import choose
from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.verdict import Decision, blame, decide
from coldiron.inference.descent import Link, one_way
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from support.fault_tables import DetectionTable, random_cells, random_model, seeded
from support.fault_yard import WORKS, Yard

YES, NO = 0, 1
STORY = frozenset({"complaint"})


def decided(judge: Judge, evidence: Evidence, *offers: Offer, **changes: object) -> Decision:
    belief = judge.belief(evidence)
    return decide(judge, evidence, belief, offers=offers, story=STORY, **changes)  # type: ignore[arg-type]


TABLE = DetectionTable(
    {
        "complaint": {"a": 0.9999, "b": 0.0001},
        "seen_a": {"a": 0.97},
        "seen_b": {"b": 0.97},
        "seen_c": {"c": 0.97},
        "nothing": {},
    },
    {"complaint": 0.0001},
)
MODEL = FaultModel(odds={"a": 1, "b": 1, "c": 1}, repair_minutes={"a": 30, "b": 30, "c": 30})


def test_no_verdict_without_a_reading_taken_at_the_machine() -> None:
    """However sure the complaint alone makes one; "not sure" is no reading."""
    judge = Judge(MODEL, TABLE)
    told = Reading("complaint", YES)
    assert decided(judge, Evidence((told,))).why == "no reading"
    assert decided(judge, Evidence((told, Reading("seen_a", None)))).why == "no reading"
    decision = decided(judge, Evidence((told, Reading("nothing", NO))))
    assert decision.why == "sure"
    assert decision.verdict is not None
    assert decision.verdict.faults == ("a",)


def test_a_sure_part_is_blamed_and_the_rest_told() -> None:
    """The verdict names part, chance, what is not excluded and the chance of an unknown fault."""
    judge = Judge(MODEL, TABLE)
    evidence = Evidence((Reading("seen_a", YES), Reading("seen_b", NO)))
    decision = decided(judge, evidence)
    verdict = decision.verdict
    assert decision.why == "sure"
    assert verdict is not None
    belief = judge.belief(evidence)
    assert (verdict.part, verdict.chance, verdict.unknown) == ("a", belief.chance("a"), belief.unknown)
    assert verdict.open == tuple((name, p) for name, p in belief.parts if name != "a" and p >= 0.02)
    assert "c" in dict(verdict.open)


def test_it_stops_on_a_part_and_not_on_a_whole_set() -> None:
    """Relay coil or relay contact, nobody knows which, and something else may be wrong besides: the relay is sure."""
    model = FaultModel(
        odds={"coil": 1, "contact": 1, "c": 3}, parts={"coil": "relay", "contact": "relay"}, sizes=(0.5, 0.5)
    )
    table = DetectionTable({"relay_dead": {"coil": 0.98, "contact": 0.98}})
    judge = Judge(model, table)
    evidence = Evidence((Reading("relay_dead", YES),))
    decision = decided(judge, evidence, Offer("relay_dead", 1.0))
    assert judge.belief(evidence).sets[0][1] < 0.5
    assert decision.why == "sure"
    assert decision.verdict is not None
    assert decision.verdict.part == "relay"


@pytest.mark.parametrize(("minutes", "verdict"), [(10.0, False), (20.0, True)])
def test_no_part_is_fitted_on_trial_while_a_quick_check_tells(minutes: float, verdict: bool) -> None:  # noqa: FBT001
    """With 85 of 100 on a part of two minutes and the rest on another, a check of ten minutes comes first."""
    model = FaultModel(odds={"a": 85, "b": 15}, repair_minutes={"a": 2, "b": 2}, sizes=(0.98, 0.02))
    decision = decided(Judge(model, TWO), Evidence((Reading("either", YES),)), Offer("which", minutes))
    assert (decision.verdict is not None) == verdict, decision.why


def test_a_check_required_first_holds_a_verdict_back() -> None:
    """Only a verdict on that fault, and only while one would be given."""
    judge = Judge(MODEL, TABLE)
    sure = Evidence((Reading("seen_a", YES), Reading("complaint", YES)))
    held = decided(judge, sure, held={"a": ("seen_loaded", "seen_b")})
    assert (held.why, held.held_by, held.verdict) == ("held", ("seen_b", "seen_loaded"), None)
    assert decided(judge, sure, held={"b": ("seen_b",)}).why == "sure"


def test_with_nothing_left_to_check_the_likeliest_is_blamed() -> None:
    """Or the book does not know the fault, if that is likelier."""
    judge = Judge(replace(MODEL, unknown=0.001), TABLE)
    decision = decided(judge, Evidence((Reading("nothing", NO),)), Offer("nothing", 1.0))
    assert decision.why == "nothing left"
    assert decision.verdict is not None
    lost = Judge(replace(MODEL, unknown=0.9), TABLE)
    assert decided(lost, Evidence((Reading("nothing", NO),)), Offer("nothing", 1.0)).why == "unknown"


def test_a_machine_that_works_again_needs_no_verdict() -> None:
    """After a repair that helped."""
    judge = Judge(MODEL, TABLE)
    good = tuple(Reading(f"seen_{name}", NO, 1) for name in "abc")
    assert decided(judge, Evidence((Reading("seen_a", YES), *good), (frozenset("a"),))).why == "sound"


TWO = DetectionTable({"either": {"a": 0.97, "b": 0.97}, "which": {"a": 0.99}}, {"either": 0.001, "which": 0.01})


@pytest.mark.parametrize(("minutes", "repair", "why"), [(1.0, 60.0, "check pays"), (90.0, 5.0, "repair pays")])
def test_where_few_parts_are_left_checking_is_weighed_against_repairing(
    minutes: float, repair: float, why: str
) -> None:
    """A quick check before a long repair; a quick repair before a long check."""
    model = FaultModel(odds={"a": 1, "b": 1}, repair_minutes={"a": repair, "b": repair}, sizes=(0.98, 0.02))
    judge = Judge(model, TWO)
    evidence = Evidence((Reading("either", YES),))
    decision = decided(judge, evidence, Offer("which", minutes))
    assert decision.why == why
    if decision.verdict:
        assert decision.verdict.repair_minutes is not None
        assert decision.verdict.check_minutes is not None
        assert decision.verdict.repair_minutes <= decision.verdict.check_minutes
        assert decision.verdict.repair_minutes == pytest.approx(repair * 1.5, abs=3)
    else:
        assert decision.check == "which"
        belief = judge.belief(evidence)
        choice = choose(judge, belief, [Offer("which", minutes)], Ways(), decision.check)
        assert choice is not None
        assert choice.method == "pays"


def test_many_open_parts_are_checked_on() -> None:
    """Repairing is not weighed while more than a few parts hold the probability."""
    model = FaultModel(odds=dict.fromkeys("abcdefgh", 1.0), repair_minutes=dict.fromkeys("abcdefgh", 0.1))
    table = DetectionTable({"nothing": {}, "half": dict.fromkeys("abcd", 0.9)})
    assert decided(Judge(model, table), Evidence((Reading("nothing", NO),)), Offer("half", 50.0)).why == "unsure"


CHAFED = FaultModel(
    odds={"chafed": 1, "link": 3, "key": 1}, links=(Link("chafed", "link", 0.95),), sizes=(0.97, 0.03), unknown=0.01
)
LOOM = DetectionTable({"link_seen": {"link": 0.99}, "loom_seen": {"chafed": 0.9}, "works": {}})


def test_a_cause_is_named_before_its_victim() -> None:
    """Link blown and loom worn through: both, the loom first, and the verdict rests on the loom."""
    judge = Judge(CHAFED, LOOM)
    decision = decided(judge, Evidence((Reading("link_seen", YES), Reading("loom_seen", YES))))
    assert decision.verdict is not None
    assert decision.verdict.faults == ("chafed", "link")
    assert decision.verdict.part == "chafed"


def test_the_victim_of_a_sure_cause_is_named_with_it() -> None:
    """The loom was seen, the link not yet looked at: it will have blown."""
    verdict = blame(Judge(CHAFED, LOOM).belief(Evidence((Reading("loom_seen", YES),))), CHAFED)
    assert verdict is not None
    assert verdict.faults == ("chafed", "link")


def test_a_victim_that_came_by_itself_is_blamed_alone() -> None:
    """The loom was looked at and is sound."""
    judge = Judge(CHAFED, LOOM)
    decision = decided(judge, Evidence((Reading("link_seen", YES), Reading("loom_seen", NO))))
    assert decision.verdict is not None
    assert decision.verdict.faults == ("link",)


@settings(deadline=None)
@given(st.integers(0, 10_000))
def test_a_victim_is_never_blamed_alone_while_its_cause_explains_it(seed: int) -> None:
    """On random books and readings: a fault blamed without a cause beside it came by itself more often than not.

    And none of its causes was there with it in more than 2 of 10 cases.
    """
    rng = seeded(seed)
    model = random_model(rng, 4)
    table = random_cells(rng, model.odds, checks=4)
    readings = tuple(
        Reading(f"check_{n}", rng.randrange(len(table.cells[f"check_{n}"][frozenset()]))) for n in range(4)
    )
    belief = Judge(model, table).belief(Evidence(readings[: rng.randint(0, 4)]))
    verdict = blame(belief, model)
    assert verdict is not None
    order = {name: place for place, name in enumerate(verdict.faults)}
    for fault in verdict.faults:
        causes = {link.cause for link in one_way(model.links) if link.victim == fault}
        if not causes & set(verdict.faults):
            there = sum(p for faults, p in belief.sets if fault in faults)
            alone = sum(p for faults, p in belief.sets if fault in faults and not causes & set(faults))
            assert alone >= 0.5 * there - 1e-9
            for cause in causes:
                assert sum(p for faults, p in belief.sets if {cause, fault} <= set(faults)) <= 0.2 * there + 1e-9
        assert all(order[cause] < order[fault] for cause in causes & set(verdict.faults))


def test_faults_that_bring_each_other_do_not_go_round_for_ever() -> None:
    """A relay welded by an empty battery that the welded relay empties: the stronger way is told."""
    model = FaultModel(
        odds={"relay": 1, "battery": 1},
        links=(Link("relay", "battery", 0.9), Link("battery", "relay", 0.05)),
        sizes=(0.99, 0.01),
    )
    table = DetectionTable({"relay_seen": {"relay": 0.99}, "battery_seen": {"battery": 0.99}})
    decision = decided(Judge(model, table), Evidence((Reading("relay_seen", YES), Reading("battery_seen", YES))))
    assert decision.verdict is not None
    assert decision.verdict.faults == ("relay", "battery")


@pytest.mark.slow
@settings(deadline=None, max_examples=10)
@given(st.integers(0, 400))
def test_hidden_faults_are_found_and_repaired_from_beginning_to_end(seed: int) -> None:
    """Check, repair, see whether it works, go on: it works in the end, with few parts wrongly changed."""
    yard = Yard(seed, faults=24, checks=40, pairs=0.3)
    judge = Judge(yard.model, yard.table)
    readings, repairs = [Reading(WORKS, YES)], list[frozenset[str]]()
    wrong = 0
    for _ in range(80):
        if not yard.truth:
            break
        epoch = len(repairs)
        evidence = Evidence(tuple(readings), tuple(repairs))
        belief = judge.belief(evidence)
        offers = [o for o in yard.offers if not any((r.check, r.epoch) == (o.check, epoch) for r in readings)]
        decision = decide(judge, evidence, belief, offers=offers, story=frozenset({WORKS}))
        choice = None if decision.verdict else choose(judge, belief, offers, Ways(), decision.check)
        if choice:
            readings.append(Reading(choice.check, yard.read(choice.check), epoch))
            continue
        faults = decision.verdict.faults if decision.verdict else (belief.suspects[0][0],)
        wrong += len(set(faults) - yard.truth)
        yard.truth -= set(faults)
        repairs.append(frozenset(faults))
        readings.append(Reading(WORKS, int(not yard.truth), epoch + 1))
    assert not yard.truth
    assert wrong <= 4
