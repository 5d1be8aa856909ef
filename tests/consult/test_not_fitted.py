"""A part of which nobody knows whether it is fitted: its odds, and what follows when it is found not to be there."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.book.joining import can_make
from coldiron.circuits import compose
from coldiron.job.steps import AnswerStep
from coldiron.machine.describing import may_be_gone, shares
from coldiron.machine.fitting import CIRCUIT, HAS, LIST, VOLTS, fitting
from coldiron.readings.refusal import NOT_FITTED
from coldiron.record import replace
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Reply, Text
from support.mechanic import Mechanic, shipped
from support.sizes import size

BOOK = shipped()
OPENING = (AnswerStep("raised", "none"), AnswerStep(COMPLAINT, "silent"))


def unknown(volts: int, complaint: str = "silent") -> Consultation:
    """A job on a machine of which only the volts are known."""
    steps = [*OPENING[:1], AnswerStep(COMPLAINT, complaint), AnswerStep(VOLTS, str(volts))]
    now = Consultation(BOOK, steps)
    assert now.next
    return now.answer(now.next.id, LIST).answer(CIRCUIT, "not sure").answer("kit", "all")


@cache
def parts_of(circuit: str) -> frozenset[str]:
    return frozenset(compose(BOOK, circuit).parts)


@pytest.mark.parametrize("circuit", BOOK.circuits)
def test_what_can_be_checked_is_known_without_composing(circuit: str) -> None:
    """The same checks as those of the composed machine."""
    known = [name for name, check in BOOK.checks.items() if can_make(BOOK.sections, BOOK.circuits[circuit], check)]
    assert tuple(known) == compose(BOOK, circuit).checks


@pytest.mark.parametrize("volts", [12, 24])
def test_odds_of_what_may_not_be_there_are_less(volts: int) -> None:
    """By the share of the circuits that have it, never by more than ten; what all have keeps its odds."""
    now = unknown(volts)
    assert now.judged
    fits = fitting(BOOK, now.state.said).circuits
    whole = sum(circuit.common for circuit in fits)
    found = shares(BOOK, now.state.said)
    for name, fault in now.judged.setup.machine.faults.items():
        having = [circuit.common for circuit in fits if fault.part in parts_of(circuit.id)]
        if len(having) == len(fits):
            assert fault.part not in found
            assert name not in now.judged.doubted
        else:
            assert found[fault.part] == pytest.approx(sum(having) / whole)
            assert now.judged.evidence.shifts[name] == pytest.approx(max(found[fault.part], 0.1))
            assert any("Nobody knows whether it is fitted" in line for line in now.why(name))
    outright = Consultation(BOOK, [*OPENING, AnswerStep(CIRCUIT, now.state.circuit), AnswerStep("kit", "all")])
    assert outright.judged
    assert not outright.judged.doubted


@given(st.sampled_from([12, 24]), st.data())
@settings(max_examples=size(8, 20, 50))
def test_what_is_not_fitted_takes_those_circuits_away_that_have_it(volts: int, data: st.DataObject) -> None:
    """Its faults are out, all that cannot have it stay, and taking it back or changing it leads back."""
    now = unknown(volts)
    assert now.setup
    open_ones = [name for name in now.setup.machine.checks if may_be_gone(BOOK, now.state.said, name)]
    check = data.draw(st.sampled_from(open_ones))
    before = fitting(BOOK, now.state.said).circuits
    after = now.answer(check, NOT_FITTED)
    left = fitting(BOOK, after.state.said).circuits
    assert left == tuple(circuit for circuit in before if not can_make(BOOK.sections, circuit, BOOK.checks[check]))
    assert after.state.circuit in {circuit.id for circuit in left}
    assert check not in compose(BOOK, after.state.circuit).checks
    assert check not in after.findings
    assert replace(after.back().state, log=()) == replace(now.state, log=())  # the log keeps what was taken back
    assert after.change(check, "cannot reach").state.circuit == now.state.circuit


def test_what_is_known_to_be_there_cannot_be_missing() -> None:
    """Where the circuit was named or found, and where every circuit that fits has it, it is refused with a way on."""
    named = Consultation(BOOK, [*OPENING, AnswerStep(CIRCUIT, "interlocks"), AnswerStep("kit", "all")])
    for now in (named, unknown(12)):
        with pytest.raises(AnswerError) as refused:
            now.answer("rest_volts", NOT_FITTED)
        assert "cannot reach" in refused.value.sentence


def _worked(circuit: str, *faults: str, complaint: str = "") -> Consultation:
    """A whole job on a machine of which nobody knows more than the volts; what is not there is said so."""
    mechanic = Mechanic(BOOK, circuit, frozenset(faults), complaint=complaint)
    now = Consultation(BOOK)
    for _ in range(90):
        asked = now.next
        if asked is None:
            break
        if asked.id.startswith(HAS):
            said = LIST
        elif asked.id == CIRCUIT:
            said = "not sure"
        elif asked.id in BOOK.checks and asked.id not in mechanic.machine.checks:
            said = NOT_FITTED if may_be_gone(BOOK, now.state.said, asked.id) else "cannot reach"
        elif asked.kind == "repair" and asked.id not in mechanic.machine.faults:
            said = "no"
        else:
            said = mechanic.answer(asked)
        now = now.answer(asked.id, said, sure=True)
        if said == "done":
            mechanic.do(asked)
    return now


@pytest.mark.parametrize(
    ("circuit", "fault"), [("start_relay", "relay_ground.off"), ("tap_12v", "main_link.blown")], ids=["12 V", "24 V"]
)
def test_a_job_ends_on_a_machine_that_nobody_knows(circuit: str, fault: str) -> None:
    """The cause is found and repaired, whatever circuit the machine was taken for at first."""
    end = _worked(circuit, fault)
    assert end.verdict.status in ("handed back", "out of service")
    assert fault in end.verdict.repaired


def test_the_page_tells_of_it_and_the_prompt_takes_it() -> None:
    """At a check on such a part; what it is taken for from then on is said, and at no other question it is a word."""
    now = unknown(24)
    assert now.setup
    check = next(name for name in now.setup.machine.checks if may_be_gone(BOOK, now.state.said, name))
    told = JobDriver("a job", now).enter(f"{check} not fitted")
    assert isinstance(told, JobDriver)
    taken = BOOK.circuits[told.consultation.state.circuit]
    assert not can_make(BOOK.sections, taken, BOOK.checks[check])
    assert any(taken.name in line for line in told.said)
    at_first = JobDriver("a job", Consultation(BOOK)).enter("not fitted")
    assert isinstance(at_first, Reply)
    assert at_first.refused
    seen = False
    while now.next and not seen:
        labels = [block.label for block in JobDriver("a job", now).page().blocks if isinstance(block, Text)]
        if now.next.kind == "check":
            seen = may_be_gone(BOOK, now.state.said, now.next.id)
            assert ("Fitted" in labels) == seen
            if seen:
                typed = JobDriver("a job", now).enter("not fitted")
                assert isinstance(typed, JobDriver)
                assert typed.consultation.state.circuit in ("tap_12v", "controller_24")
        now = now.answer(now.next.id, now.next.choices[0] if now.next.kind == "caution" else "not sure")
    assert seen
