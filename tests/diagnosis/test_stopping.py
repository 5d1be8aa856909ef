"""When asking stops: what a check has to settle at least, and what is offered where none does."""

from __future__ import annotations

from coldiron.choice.choice import ENDLESS, LEAST, LEAST_STUCK, MOST_CHECKS, choose, idle_readings, least_share
from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.verdict import GIVE_UP, decide, is_worth_a_trial
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from support.fault_tables import DetectionTable

EVEN = FaultModel(odds=dict.fromkeys("abcdefgh", 1.0), sizes=(1.0,))
TABLE = DetectionTable(
    {
        "left_half": dict.fromkeys("abcd", 0.98),
        "faint": {"a": 0.06},
        **{f"idle_{number}": {} for number in range(4)},
    }
)
NO_STORY: frozenset[str] = frozenset()


def read(*checks: str) -> Evidence:
    return Evidence(tuple(Reading(check, 1) for check in checks))


def test_a_check_that_settles_too_little_is_not_offered() -> None:
    """Unless nothing at all is asked of it, or an experienced hand puts it first."""
    judge = Judge(EVEN, TABLE)
    belief = judge.belief(Evidence())
    assert choose(judge, belief, [Offer("faint", 1.0)], Ways()) is not None
    assert choose(judge, belief, [Offer("faint", 1.0)], Ways(), least=LEAST) is None
    assert choose(judge, belief, [Offer("faint", 1.0, prefer=50.0)], Ways(), least=LEAST) is not None
    chosen = choose(judge, belief, [Offer("faint", 0.1), Offer("left_half", 9.0)], Ways(), least=LEAST)
    assert chosen is not None
    assert chosen.check == "left_half"


def test_readings_that_move_nothing_ask_for_more_of_the_next_check() -> None:
    """Three in a row; two, or one of them that moved the lead, do not."""
    judge = Judge(EVEN, TABLE)
    idle = [f"idle_{number}" for number in range(3)]
    assert idle_readings(judge, read(*idle[:2]), NO_STORY) == 0
    assert idle_readings(judge, read("left_half", *idle), NO_STORY) == 3
    assert idle_readings(judge, read(*idle, "left_half"), NO_STORY) == 0
    assert idle_readings(judge, read(*idle), frozenset(idle)) == 0
    assert least_share(judge, read(*idle), NO_STORY, 3) == 3 * LEAST_STUCK
    assert least_share(judge, read(*idle, "idle_3"), NO_STORY, 4) == 4 * LEAST_STUCK
    assert least_share(judge, read("left_half"), NO_STORY, 1) == LEAST
    assert least_share(judge, read("left_half"), NO_STORY, MOST_CHECKS) == ENDLESS


def test_a_repair_is_tried_where_it_is_worth_its_minutes() -> None:
    """One in five at the least, and more where the repair takes long: a job given up costs half a day."""
    assert is_worth_a_trial(0.25, 30.0)
    assert not is_worth_a_trial(0.15, 5.0)
    assert not is_worth_a_trial(0.4, GIVE_UP / 2)


def test_nothing_unlikely_is_tried_where_no_check_tells_anything() -> None:
    """Of eight causes as likely none is repaired; of two it is."""
    judge = Judge(EVEN, TABLE)
    evidence = read("idle_0")
    assert decide(judge, evidence, judge.belief(evidence)).why == "no trial"
    two = Judge(FaultModel(odds={"a": 1.0, "b": 1.0}, sizes=(1.0,)), TABLE)
    assert decide(two, evidence, two.belief(evidence)).why == "nothing left"
