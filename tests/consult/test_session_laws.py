"""What holds of every consultation: it is its steps and nothing else."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation, Question
from coldiron.book.checks import UNITS
from coldiron.book.history import COMPLAINT
from coldiron.consult.fold import replay
from coldiron.job.at_machine import NEW_STRETCH
from coldiron.job.dangers import standing_dangers
from coldiron.job.reported import NOT_TOLD
from coldiron.job.steps import Answered, AnswerStep, ReadingStep, is_repaired, standing
from coldiron.judging.composing import setup_of
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import replace
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from support.mechanic import Job, Mechanic, past_cautions, shipped, work
from support.rows import id_of, value_of
from support.sizes import few
from support.wander import Wanderer, lesser

CIRCUITS = tuple(shipped().circuits)
SEEDS = st.integers(0, 10_000)

UNTOLD = ("skip", "cannot reach", "not sure")
"""Answers that read nothing. A look that was passed over before frost was told of is asked for once more after it."""


def job(seed: int) -> Job:
    """A whole job on a small machine: the circuit, the fault and what is skipped by the seed."""
    circuit = CIRCUITS[seed % len(CIRCUITS)]
    book = lesser(circuit, 0)
    faults = sorted(setup_of(book, circuit).machine.faults)
    hidden = frozenset((faults[seed % len(faults)],))
    return work(Mechanic(book, circuit, hidden, seed=seed, skips=0.1 * (seed % 3)))


def page(consultation: Consultation) -> str:
    return "\n".join(row.text for row in draw(JobDriver("law", consultation).page().blocks, 80))


def same(one: Consultation, other: Consultation) -> bool:
    """Same question, same odds to the last bit, same page, same verdict."""
    return (
        one.next == other.next
        and one.suspects == other.suspects
        and one.unknown == other.unknown
        and one.verdict == other.verdict
        and one.minutes == other.minutes
        and page(one) == page(other)
    )


@settings(max_examples=15)
@given(SEEDS)
def test_a_consultation_equals_its_steps_replayed(seed: int) -> None:
    """After any walk the consultation grown answer by answer is the one made of its steps at once."""
    circuit = CIRCUITS[seed % len(CIRCUITS)]
    book = lesser(circuit, 0)
    faults = sorted(setup_of(book, circuit).machine.faults)
    mechanic = Mechanic(book, circuit, frozenset((faults[seed % len(faults)],)), seed=seed)
    states = [now for now, _ in Wanderer(mechanic, seed).walk(30)]
    for now in states:
        assert now.state == replay(book, now.steps)
    assert same(states[-1], Consultation(book, states[-1].steps))


@settings(max_examples=15)
@given(SEEDS, st.randoms(use_true_random=False))
def test_readings_of_one_epoch_in_any_order_give_the_same_odds(seed: int, shuffled: random.Random) -> None:
    """The readings of an epoch, told as taken in any order, come to the same odds to the last bit.

    So is what is asked next, where both ask for as much of a check.
    """
    done = job(seed)
    book = done.mechanic.book
    steps = [step for step in standing(done.end.steps) if step.kind == "answer"]
    opening = [step for step in steps if step.id in (COMPLAINT, "usual", "volts", "circuit", "kit", "raised")]
    first_epoch = standing(done.end.steps)
    until = next((n for n, step in enumerate(first_epoch) if step.kind == "repair"), len(first_epoch))
    told = [
        ReadingStep(step.id, step.value)
        for step in first_epoch[:until]
        if isinstance(step, Answered) and step.id in book.checks and step.value not in UNTOLD
    ]
    story = [step for step in first_epoch[:until] if id_of(step) in book.questions and step not in opening]
    in_order = Consultation(book, [*opening, *story, *told])
    mixed = [*story, *told]
    shuffled.shuffle(mixed)
    otherwise = Consultation(book, [*opening, *mixed])
    assert in_order.suspects == otherwise.suspects
    assert in_order.unknown == otherwise.unknown
    one, other = in_order.judged, otherwise.judged
    if one is None or other is None or one.least == other.least:  # how far the latest readings led goes by their order
        assert in_order.next == otherwise.next


@settings(max_examples=15)
@given(SEEDS, st.data())
def test_changing_an_answer_there_and_back_changes_nothing(seed: int, data: st.DataObject) -> None:
    """Another value and then the old one: everything is as it was."""
    end = job(seed).end
    answers = [step for step in standing(end.steps) if isinstance(step, AnswerStep) and step.id in end.book.checks]
    if not answers:
        return
    step = data.draw(st.sampled_from(answers))
    kept = standing(end.steps)
    first = next(n for n, other in enumerate(kept) if isinstance(other, AnswerStep) and other.id == step.id)
    name = f"{step.id}@{sum(map(is_repaired, kept[:first]))}"
    value = value_of(kept[first])
    check = end.book.checks[step.id]
    other = "0.5" if check.reads.quantity in UNITS else check.findings[0].id
    changed = end.change(name, other, sure=True)
    assert list(map(id_of, standing(changed.steps))) == list(map(id_of, standing(end.steps)))
    back = changed.change(name, value, sure=True)
    assert standing(back.steps) == standing(end.steps)
    assert same(back, end)


@settings(max_examples=15)
@given(SEEDS, st.integers(1, 40))
def test_back_undoes_the_latest_answer(seed: int, at: int) -> None:
    """After `back` all is as before the answer, but that nobody knows how what was moved stands now.

    What told of a danger goes on telling of it. A stretch ends: the next START is cleared for anew, in its minute.
    Nothing else may differ.
    """
    done = job(seed)
    at = min(at, len(done.after) - 1)
    undone = done.after[at].back()
    assert standing(undone.steps) == standing(done.after[at - 1].steps)
    before = done.after[at - 1]
    moved = {name for name, value in undone.state.settings.items() if value != before.state.settings[name]}
    if moved:
        assert {undone.state.settings[name] for name in moved} == {NOT_TOLD}
        assert undone.suspects == before.suspects
        return
    if standing_dangers(undone.state) != standing_dangers(before.state):
        assert undone.suspects == before.suspects
        return
    on, off = past_cautions(undone), past_cautions(before)
    if on.next != off.next:
        assert on.next is not None
        assert off.next is not None
        assert on.next.minutes == pytest.approx(off.next.minutes + NEW_STRETCH)
        assert replace(on.next, minutes=0.0) == replace(off.next, minutes=0.0)
        assert (on.suspects, on.unknown) == (off.suspects, off.unknown)
        return
    assert same(on, off)


@settings(max_examples=15)
@given(SEEDS, st.data())
def test_an_early_answer_changed_keeps_all_later_ones(seed: int, data: st.DataObject) -> None:
    """Only the one answer is another; every other stands where it stood."""
    end = job(seed).end
    complaint = data.draw(st.sampled_from(end.question(COMPLAINT).choices))
    before, after = standing(end.steps), standing(end.change(COMPLAINT, complaint).steps)
    others = [(one, other) for one, other in zip(before, after, strict=True) if one != other]
    assert all(id_of(one) == id_of(other) == COMPLAINT and value_of(other) == complaint for one, other in others)


@settings(max_examples=15)
@given(SEEDS, st.sampled_from(UNKNOWN))
def test_what_is_not_known_changes_no_odds(seed: int, word: str) -> None:
    """`skip`, `cannot reach` and `not sure` to a check or to history leave every chance as it was."""
    for now in job(seed).after:
        asked = now.next
        if asked is None or now.judged is None or asked.kind in ("caution", "repair"):
            continue
        if asked.id in now.book.checks or asked.id in now.book.questions:
            after = now.answer(asked.id, word)
            assert (after.suspects, after.unknown) == (now.suspects, now.unknown)
            return


@settings(max_examples=10)
@given(SEEDS)
def test_parking_ends_every_acknowledgement(seed: int) -> None:
    """After `park` nothing stands acknowledged, and odds, answers and minutes are as they were.

    What was to be done comes with its caution; or what may end a danger comes first, and not without its own.
    """
    for now in job(seed).after[::4]:
        parked = now.park()
        assert parked.state.acks.held == frozenset()
        assert (parked.suspects, parked.findings, parked.minutes) == (now.suspects, now.findings, now.minutes)
        back = parked.answer("away", "same") if parked.next is not None and parked.next.id == "away" else parked
        while back.next is not None and back.next.kind == "now":  # what to do this second is told anew, before all else
            back = back.answer(back.next.id, back.next.choices[0])
        if now.next is not None and now.next.kind == "check" and back.next is not None:
            if now.next.id in (back.next.id, back.next.step):
                assert (back.next.kind == "caution") == hurts(now.next)
            else:
                assert back.next.kind == "caution" or not hurts(back.next)


def hurts(asked: Question) -> bool:
    """Whether a page has a caution that is acknowledged."""
    return any(caution.word in ("DANGER", "WARNING") for caution in asked.cautions)


@pytest.mark.slow
@pytest.mark.parametrize("circuit", few(CIRCUITS, 5))
def test_every_walk_comes_to_an_end(circuit: str) -> None:
    """A mechanic who skips some, is wrong sometimes and turns repairs down ends within 300 answers, with a reason.

    Who skips nine in ten is asked nearly every check of the machine, and most of them in a state of their own.
    """
    book = lesser(circuit, 0)
    faults = sorted(setup_of(book, circuit).machine.faults)
    for seed, hidden in enumerate(faults):
        mechanic = Mechanic(book, circuit, frozenset((hidden,)), seed=seed, skips=(0.0, 0.3, 0.9)[seed % 3])
        done = work(mechanic, limit=300)
        assert done.end.next is None, (hidden, len(done.said))
        assert done.status in ("handed back", "needs"), hidden
        assert done.status == "handed back" or done.end.verdict.needs


@pytest.mark.slow
@pytest.mark.parametrize("circuit", few(CIRCUITS, 5))
def test_who_knows_nothing_is_told_what_is_missing(circuit: str) -> None:
    """With everything skipped and every repair turned down the job asks each thing once and ends in a need."""
    book = shipped()
    now = Consultation(book)
    mechanic = Mechanic(book, circuit, frozenset(), skips=1.0)
    for _ in range(len(book.checks) + len(book.questions) + 5 * len(book.cautions)):
        asked = now.next
        if asked is None:
            break
        value = "no" if asked.kind == "repair" else mechanic.answer(asked)
        now = now.answer(asked.id, value)
    assert now.next is None
    assert now.verdict.needs


def test_blank_and_foolish_answers_accept_nothing() -> None:
    """Enter alone and 'yes' acknowledge no caution, choose nothing and read nothing."""
    for now in job(3).after:
        if now.next is None:
            continue
        for text in ("", "   ", "yes", "ok", "\t"):
            with pytest.raises(AnswerError):
                now.answer(now.next.id, text)
