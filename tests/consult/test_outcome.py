"""The verdict: cause, chain of evidence, what is not excluded, repair and proof, and how the job stands."""

from __future__ import annotations

from functools import cache

from coldiron import Consultation
from coldiron.book.history import COMPLAINT
from coldiron.judging.judgement import MOST_REPAIRS
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Text
from coldiron.telling.verdicts import NOT_EXCLUDED, TELLING
from support.mechanic import LIMIT, Mechanic, shipped, work, worked

BOOK = shipped()
PAIR = worked("interlocks", "main_link.blown", "cab_feed.chafed")
FLAT = worked("start_relay", "battery.flat")


@cache
def causes() -> list[Consultation]:
    """The jobs wherever a cause is named."""
    return [now for job in (PAIR, FLAT) for now in job.after if now.verdict.status == "cause"]


def test_a_job_goes_through_its_stages_in_order() -> None:
    """Open, cause, proven, handed back: never handed back before proven."""
    for job in (PAIR, FLAT):
        stages = [now.verdict.status for now in job.after]
        assert stages[0] == "open"
        assert stages[-1] == "handed back"
        assert stages.index("cause") < stages.index("proven") < stages.index("handed back")


def test_a_cause_stands_with_its_evidence() -> None:
    """Readings that speak for it, the strongest first, each in words; the complaint may be one of them."""
    assert causes()
    for now in causes():
        links = now.verdict.evidence
        assert links
        assert all(link.log_odds >= TELLING for link in links)
        assert [link.log_odds for link in links] == sorted((link.log_odds for link in links), reverse=True)
        for link in links:
            known = BOOK.checks[link.check].ask if link.check != COMPLAINT else "The symptom"
            assert link.shown.startswith(known)


def test_a_cause_comes_with_repair_and_proof() -> None:
    """For every fault named: what to do, and how it is proved; cautions are those of the faults."""
    for now in causes():
        outcome = now.verdict
        assert len(outcome.repairs) == len(outcome.faults)
        assert all(
            BOOK.faults[name].what.repair in said
            for (name, _), said in zip(outcome.faults, outcome.repairs, strict=True)
        )
        assert all(proof for proof in outcome.proofs)
        named = {caution.id for caution in outcome.cautions}
        assert named == {c for name, _ in outcome.faults for c in BOOK.faults[name].what.cautions}


def test_chances_are_those_of_the_suspects() -> None:
    """The verdict says nothing that the suspects do not; what is not excluded is neither blamed nor unlikely."""
    for now in causes():
        suspects = dict(now.suspects)
        assert all(suspects[name] == chance for name, chance in (*now.verdict.faults, *now.verdict.not_excluded))
        blamed = {name for name, _ in now.verdict.faults}
        assert all(name not in blamed and chance >= NOT_EXCLUDED for name, chance in now.verdict.not_excluded)


def test_a_cause_is_named_before_its_victim() -> None:
    """The chafed feed wire before the link it blew."""
    both = [now for now in PAIR.after if len(now.verdict.faults) > 1]
    assert both
    for now in both:
        names = [name for name, _ in now.verdict.faults]
        assert names.index("cab_feed.chafed") < names.index("main_link.blown")


def test_what_is_missing_is_named() -> None:
    """Without kit: what kit; with checks passed over that a rule wants: which; else the complaint seen again."""
    bare = work(Mechanic(BOOK, "start_relay", frozenset(("key_start.worn",)), kit="none", skips=1.0))
    assert bare.status == "needs"
    assert "You need a tool" in bare.end.verdict.needs
    assert bare.end.verdict.needs.endswith(".")


def test_the_outcome_before_the_machine_is_known_is_open() -> None:
    """Nothing is claimed of an unknown machine."""
    outcome = Consultation(BOOK).answer("raised", "none").verdict
    assert (outcome.status, outcome.faults, outcome.evidence) == ("open", (), ())


def test_what_was_repaired_stays_in_order() -> None:
    """As it was done."""
    assert PAIR.end.verdict.repaired == tuple(PAIR.mechanic.repaired)


def told_no(kind: str, *faults: str) -> Consultation:
    """A job at whose end every repair, or the hand-back, was answered with no; the faults are in the machine."""
    mechanic = Mechanic(BOOK, "direct_start", frozenset(faults))
    now = Consultation(BOOK)
    while (asked := now.next) is not None:
        now = now.answer(asked.id, "no" if kind in (asked.kind, asked.id) else mechanic.answer(asked), sure=True)
        mechanic.present = frozenset() if asked.kind == "repair" and kind != "repair" else mechanic.present
    return now


def test_a_cause_whose_repair_was_turned_down_stays_named() -> None:
    """Where nothing more is asked the job still says what it waits for, and how to say that it was done."""
    end = told_no("repair", "main_link.blown")
    assert end.verdict.status == "cause"
    assert BOOK.faults["main_link.blown"].name in end.verdict.needs
    assert "'done'" in end.verdict.needs
    assert end.answer("main_link.blown", "done").next is not None


def test_a_hand_back_that_was_turned_down_is_waited_for() -> None:
    end = told_no("hand_back", "main_link.blown")
    assert end.verdict.status == "proven"
    assert "hand it back" in end.verdict.needs
    assert end.change("hand_back", "done").verdict.status == "handed back"


def test_repairs_that_cure_nothing_come_to_an_end() -> None:
    """A machine that stays as dead as it was, whatever is repaired: it is not taken apart piece by piece.

    The job ends after ten repairs at the most, and sends the mechanic back to his answers.
    """
    mechanic = Mechanic(BOOK, "direct_start", frozenset({"key_start.dead"}))
    now = Consultation(BOOK)
    asked = 0
    while now.next is not None:
        now, asked = now.answer(now.next.id, mechanic.answer(now.next), sure=True), asked + 1
    assert asked < LIMIT
    assert len(now.verdict.repaired) <= MOST_REPAIRS
    assert now.verdict.needs
    assert now.verdict.in_vain
    assert set(now.verdict.in_vain) <= set(now.verdict.repaired)
    assert now.verdict.status != "cause" or not {name for name, _ in now.verdict.faults} <= {*now.verdict.repaired}
    blocks = JobDriver("a job", now).page().blocks
    told = [block.text for block in blocks if isinstance(block, Text) and block.label == "Done, did not help"]
    assert told == [", ".join(BOOK.faults[name].name for name in now.verdict.in_vain)]


def test_a_repair_that_helped_is_not_in_vain() -> None:
    """Nor is one that mended one of two faults, though the machine stayed dead after it."""
    assert PAIR.end.verdict.in_vain == ()
