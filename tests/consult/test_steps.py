"""The log folded: what of it still stands."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coldiron.job.steps import Step, StepKind, find_answer, standing

IDS = st.sampled_from(["a", "b", "c"])
KINDS: st.SearchStrategy[StepKind] = st.sampled_from(["answer", "read", "ack", "repair", "note", "park"])
PLAIN = st.builds(Step, KINDS, IDS, st.sampled_from(["1", "2", "done"]))
ANY = st.one_of(PLAIN, st.just(Step("back")), st.builds(Step, st.just("change"), IDS, st.just("9")))
LOGS = st.lists(ANY, max_size=12)


@given(st.lists(PLAIN, max_size=12))
def test_a_log_without_corrections_stands_as_it_is(log: list[Step]) -> None:
    """Nothing is dropped or moved."""
    assert standing(log) == tuple(log)


@given(LOGS, PLAIN)
def test_back_takes_away_the_step_before_it(log: list[Step], step: Step) -> None:
    """Unless that is a note or the parking of the job, which stay."""
    after = standing([*log, step, Step("back")])
    if step.kind in ("note", "park"):
        assert after.count(step) >= 1
    else:
        assert after == standing(log)


@given(LOGS, IDS, st.sampled_from(["1", "7"]))
def test_back_undoes_a_change(log: list[Step], name: str, value: str) -> None:
    """A change that changed something is what `back` undoes, and every answer stands as before it."""
    before = standing(log)
    if standing([*log, Step("change", name, value)]) != before:
        assert standing([*log, Step("change", name, value), Step("back")]) == before


@given(LOGS)
def test_corrections_never_add_a_step(log: list[Step]) -> None:
    """What stands is at most what was entered, and no correction is left in it."""
    left = standing(log)
    assert len(left) <= sum(step.kind not in ("back", "change") for step in log)
    assert all(step.kind not in ("back", "change") for step in left)


@given(LOGS, IDS)
def test_a_change_keeps_every_place(log: list[Step], name: str) -> None:
    """Only the value of the latest answer of that name is another."""
    before, after = standing(log), standing([*log, Step("change", name, "7")])
    index = find_answer(before, name)
    assert [(s.kind, s.id) for s in before] == [(s.kind, s.id) for s in after]
    changed = [n for n, (one, other) in enumerate(zip(before, after, strict=True)) if one != other]
    assert changed in ([], [index])
    assert index is None or after[index].value == "7"


@given(LOGS)
def test_going_back_often_enough_leaves_notes_and_parkings(log: list[Step]) -> None:
    """Going back further than there are steps takes nothing else away, and is no error."""
    left = standing([*log, *[Step("back")] * (len(log) + 1)])
    assert all(step.kind in ("note", "park") for step in left)


def test_an_answer_is_found_by_the_repairs_before_it() -> None:
    """`name@1` is the answer after the first repair; a repair turned down ends no epoch."""
    log = (
        Step("answer", "a", "1"),
        Step("repair", "x.y", "no"),
        Step("read", "a", "2"),
        Step("repair", "x.y", "done"),
        Step("answer", "a", "3"),
    )
    assert find_answer(log, "a") == 4
    assert find_answer(log, "a@0") == 2
    assert find_answer(log, "a@1") == 4
    assert find_answer(log, "a@2") is None
    assert find_answer(log, "b") is None
