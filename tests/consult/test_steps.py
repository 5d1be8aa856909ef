"""The log folded: what of it still stands."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.job.rows import KINDS, row_of, step_of
from coldiron.job.steps import (
    AcknowledgeStep,
    AgainStep,
    AnswerStep,
    BackStep,
    CardStep,
    ChangeStep,
    NoteStep,
    ParkStep,
    PauseStep,
    ReadingStep,
    RepairStep,
    Step,
    StepKind,
    find_answer,
    standing,
)
from support.rows import id_of, value_of

IDS = st.sampled_from(["a", "b", "c"])
VALUES = st.sampled_from(["1", "2", "done"])
PLAIN: st.SearchStrategy[Step] = st.one_of(
    *(st.builds(form, IDS, VALUES) for form in (AnswerStep, ReadingStep, RepairStep)),
    st.builds(AcknowledgeStep, st.lists(IDS, min_size=1).map(tuple), IDS, VALUES),
    st.builds(NoteStep, VALUES),
    st.builds(CardStep, IDS, VALUES),
    st.just(ParkStep()),
)
ANY = st.one_of(PLAIN, st.just(BackStep()), st.builds(ChangeStep, IDS, st.just("9")))
LOGS = st.lists(ANY, max_size=12)


@given(st.lists(PLAIN, max_size=12))
def test_a_log_without_corrections_stands_as_it_is(log: list[Step]) -> None:
    """Nothing is dropped or moved."""
    assert standing(log) == tuple(log)


@given(LOGS, PLAIN)
def test_back_takes_away_the_step_before_it(log: list[Step], step: Step) -> None:
    """Unless that is a note or the parking of the job, which stay."""
    after = standing([*log, step, BackStep()])
    if step.kind in ("note", "park", "card"):
        assert after.count(step) >= 1
    else:
        assert after == standing(log)


@given(LOGS, IDS, st.sampled_from(["1", "7"]))
def test_back_undoes_a_change(log: list[Step], name: str, value: str) -> None:
    """A change that changed something is what `back` undoes, and every answer stands as before it."""
    before = standing(log)
    if standing([*log, ChangeStep(name, value)]) != before:
        assert standing([*log, ChangeStep(name, value), BackStep()]) == before


@given(LOGS)
def test_corrections_never_add_a_step(log: list[Step]) -> None:
    """What stands is at most what was entered, and no correction is left in it."""
    left = standing(log)
    assert len(left) <= sum(step.kind not in ("back", "change") for step in log)
    assert all(step.kind not in ("back", "change") for step in left)


@given(LOGS, IDS)
def test_a_change_keeps_every_place(log: list[Step], name: str) -> None:
    """Only the value of the latest answer of that name is another."""
    before, after = standing(log), standing([*log, ChangeStep(name, "7")])
    index = find_answer(before, name)
    assert [(s.kind, id_of(s)) for s in before] == [(s.kind, id_of(s)) for s in after]
    changed = [n for n, (one, other) in enumerate(zip(before, after, strict=True)) if one != other]
    assert changed in ([], [index])
    assert index is None or value_of(after[index]) == "7"


@given(LOGS)
def test_going_back_often_enough_leaves_notes_and_parkings(log: list[Step]) -> None:
    """Going back further than there are steps takes nothing else away, and is no error."""
    left = standing([*log, *[BackStep()] * (len(log) + 1)])
    assert all(step.kind in ("note", "park", "card") for step in left)


def test_an_answer_is_found_by_the_repairs_before_it() -> None:
    """`name@1` is the answer after the first repair; a repair turned down ends no epoch."""
    log = (
        AnswerStep("a", "1"),
        RepairStep("x.y", "no"),
        ReadingStep("a", "2"),
        RepairStep("x.y", "done"),
        AnswerStep("a", "3"),
    )
    assert find_answer(log, "a") == 4
    assert find_answer(log, "a@0") == 2
    assert find_answer(log, "a@1") == 4
    assert find_answer(log, "a@2") is None
    assert find_answer(log, "b") is None


WRITTEN: st.SearchStrategy[Step] = st.one_of(
    ANY,
    st.just(PauseStep()),
    st.builds(AgainStep, IDS),
    st.builds(NoteStep, st.text()),
    st.builds(AnswerStep, st.text(), st.text()),
)


@given(WRITTEN)
def test_a_step_comes_back_from_its_row_as_it_was(step: Step) -> None:
    """Every kind that is written."""
    assert step_of(*row_of(step)) == step
    assert row_of(step)[0] in KINDS


@given(st.sampled_from(["answer", "read", "change", "repair"]), st.text(), st.text())
def test_a_row_comes_back_from_its_step_as_it_was(kind: str, name: str, value: str) -> None:
    """Whatever an older version has written there."""
    step = step_of(kind, name, value)
    assert step is not None
    assert row_of(step) == (kind, name, value)


def test_the_rows_of_a_job_file_are_those_of_every_version() -> None:
    """Each kind as it has always been written, with what is said by words of its own."""
    rows = [
        ("answer", "rest_volts", "12.6 V"),
        ("read", "code.1", "168 1"),
        ("ack", "crank_area,battery@starter_turn", "clear"),
        ("ack", "crank_area@set.key@starter_turn", "so"),
        ("change", "rest_volts@1", "12"),
        ("back", "", ""),
        ("note", "", "blue wire"),
        ("repair", "battery.flat", "next"),
        ("park", "", ""),
        ("pause", "", ""),
        ("again", "rest_volts", ""),
        ("card", "note.start_wire", "blue, 14"),
    ]
    steps = [step for row in rows if (step := step_of(*row)) is not None]
    assert [row_of(step) for step in steps] == rows
    assert {kind for kind, _, _ in rows} == {*KINDS} == {*get_args(StepKind)} - {"untold"}
    assert steps[3] == AcknowledgeStep(("crank_area",), "set.key@starter_turn", "so")


@pytest.mark.parametrize("kind", ["photo", "untold", "", "Answer"])
def test_a_kind_nobody_knows_is_no_step(kind: str) -> None:
    """It stays in the file; nothing is concluded from it."""
    assert step_of(kind, "a", "b") is None
