"""When a repair counts as proven: a proof that cannot be had, one that misses its band, one that is plainly bad."""

from __future__ import annotations

from functools import cache

import pytest

from coldiron import Consultation
from coldiron.agenda.proving import failed_proofs, is_proven
from support.mechanic import Job, shipped, worked

BOOK = shipped()
PROOF = "minus_cable_drop"
LIMIT = 60


@cache
def job() -> Job:
    """A ground cable that was bad, and the whole honest job of it."""
    return worked("start_relay", "ground_cable.bad")


def at_proof() -> Consultation:
    """Where the drop along the new cable is to be read, engine cranking."""
    return next(now for now in job().after if now.next and now.next.id == PROOF and now.next.kind == "proof")


def gone_on(now: Consultation, *proof: str) -> tuple[Consultation, list[str]]:
    """To the first page of the hand-back or the next repair, with these answers to that proof; what was asked, too."""
    said, asked = list(proof), []
    for _ in range(LIMIT):
        if now.next is None or now.next.kind == "repair" or now.next.id.startswith("tick."):
            break
        name = now.next.id
        asked.append(name)
        answer = said.pop(0) if name == PROOF and said else job().mechanic.answer(now.next)
        now = now.answer(name, answer, sure=True)
    return now, asked


def test_a_proof_that_cannot_be_had_is_made_up_for_by_the_others() -> None:
    """The machine cranks as it should and the rest reads well: it goes on to be shown, and nobody is held up."""
    now, asked = gone_on(at_proof(), "cannot reach")
    assert asked.count(PROOF) == 1
    assert now.judged
    assert is_proven(now.judged)
    assert now.next
    assert now.next.id.startswith("tick.")


@pytest.mark.parametrize("second", ["0.20", "0.05"])
def test_a_proof_that_misses_its_band_by_a_hair_is_read_once_more(second: str) -> None:
    """0.20 V where 0.18 V is good: taken again before anything is shown, and whatever it reads then, it is enough."""
    now, asked = gone_on(at_proof(), "0.20", second)
    assert asked.count(PROOF) == 2
    assert now.judged
    assert bool(failed_proofs(now.judged)) == (second == "0.20")
    assert is_proven(now.judged)


def test_a_proof_that_is_plainly_bad_is_never_passed_over() -> None:
    """4 V along the cable, twice: the search goes on, no page of the hand-back is shown."""
    now, _ = gone_on(at_proof(), "4", "4")
    assert now.judged
    assert failed_proofs(now.judged)
    assert not is_proven(now.judged)
    assert not (now.next and now.next.id.startswith("tick."))


def test_nothing_is_proven_by_what_nobody_read() -> None:
    """Every proof is passed over: the machine is not taken for sound on the strength of the repair alone."""
    now = at_proof()
    for _ in range(LIMIT):
        if now.next is None or now.next.kind in ("repair", "way_out"):
            break
        assert not now.next.id.startswith("tick.")
        said = "cannot reach" if now.next.id in BOOK.checks else job().mechanic.answer(now.next)
        now = now.answer(now.next.id, said, sure=True)
    assert now.judged is None or not is_proven(now.judged)
