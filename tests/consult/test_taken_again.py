"""A reading that contradicts the others is taken again before anything is blamed."""

from __future__ import annotations

from coldiron import Consultation
from support.mechanic import Mechanic, past_cautions, shipped, worked

JOB = worked("start_relay", "relay_ground.off")
DOUBTED = "relay_coil_volts"


def contradicted() -> Consultation:
    """A job on the point of its verdict, one reading in it as if the range of the meter had been misread."""
    verdict = next(n for n, (asked, _) in enumerate(JOB.said) if asked.kind == "repair")
    job = JOB.after[verdict]
    return job.change(DOUBTED, "8.2") if DOUBTED in job.findings else job.answer(DOUBTED, "8.2", sure=True)


def asked_again(now: Consultation) -> Consultation:
    """The job at the question for that reading, its cautions acknowledged."""
    mechanic = Mechanic(shipped(), "start_relay", frozenset(("relay_ground.off",)))
    while (asked := now.next) is not None and asked.kind == "caution":
        now = now.answer(asked.id, mechanic.answer(asked))
    return now


def test_it_is_asked_for_before_anything_else() -> None:
    """With its reason; and what was wrong once and is right now counts as it is now."""
    now = asked_again(contradicted())
    assert now.judged is not None
    assert (now.next and now.next.id, now.judged.decision.why, now.judged.decision.held_by) == (
        DOUBTED,
        "held",
        (DOUBTED,),
    )
    assert now.next is not None
    assert "does not fit the other readings" in now.next.why
    after = now.answer(DOUBTED, "12.4")
    assert after.findings[DOUBTED] == "live"
    assert after.suspects[0][0] == "relay_ground.off"
    assert after.minutes > now.minutes


def test_it_is_asked_for_once() -> None:
    """The same again stands; who cannot take it again leaves it as it was."""
    now = asked_again(contradicted())
    for said in ("8.2", "cannot reach"):
        after = now.answer(DOUBTED, said)
        assert after.findings[DOUBTED] == now.findings[DOUBTED]
        assert after.judged is not None
        assert after.judged.contradicting != DOUBTED
        assert after.back().steps != now.steps
        asked = past_cautions(after.back()).next
        assert asked is not None
        assert asked.id == DOUBTED
