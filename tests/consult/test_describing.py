"""A machine without a diagram: what is asked of it, which circuits stay, and what is taken where nobody knows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.book.machines import Circuit, Feature
from coldiron.consult.fold import replay
from coldiron.job.steps import AnswerStep
from coldiron.machine.describing import commonest, fullest, gain, likely, next_feature, not_known, shares, splits
from coldiron.machine.fitting import CIRCUIT, HAS, LIST, USUAL, VOLTS, fitting
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Text
from support.mechanic import Mechanic, shipped
from support.rows import id_of

BOOK = shipped()
CIRCUITS = st.sampled_from(list(BOOK.circuits))
UNKNOWN = st.sets(st.sampled_from(list(BOOK.features)))

Known = Mapping[str, str]


def truth(circuit: str) -> dict[str, str]:
    """What a mechanic who knows the machine says of it, by feature; of the others he knows nothing."""
    return {feature: answers[0] for feature, answers in BOOK.circuits[circuit].has.items()}


def begun(circuit: str) -> Consultation:
    """A job up to what is asked of the machine."""
    now = Consultation(BOOK).answer("raised", "none")
    return now.answer(VOLTS, BOOK.circuits[circuit].volts)


def described(now: Consultation, known: Known) -> Consultation:
    """The job after every feature that is asked, as far as it is known."""
    while now.next and now.next.id.startswith(HAS):
        said = known.get(now.next.id.removeprefix(HAS), "not sure")
        now = now.answer(now.next.id, said if said in now.next.choices else "not sure")
    return now


@pytest.mark.parametrize("circuit", BOOK.circuits)
def test_a_machine_described_truthfully_is_found(circuit: str) -> None:
    """Whatever the circuit of the book, and no list is shown."""
    now = described(begun(circuit), truth(circuit))
    assert now.state.circuit == circuit
    assert not now.state.taken
    assert now.next
    assert now.next.id == COMPLAINT
    assert CIRCUIT not in now.state.said


@given(CIRCUITS, UNKNOWN)
def test_what_is_not_known_takes_no_circuit_away(circuit: str, unknown: set[str]) -> None:
    """With any features not known the true circuit is found, or is among those listed at the end."""
    known = {name: said for name, said in truth(circuit).items() if name not in unknown}
    now = described(begun(circuit), known)
    if not now.state.circuit:
        assert now.next
        assert now.next.id == CIRCUIT
        assert circuit in now.next.choices
        now = now.answer(CIRCUIT, circuit)
    assert now.state.circuit == circuit


@given(CIRCUITS, CIRCUITS, UNKNOWN, st.data())
def test_changing_a_feature_later_equals_a_fresh_run(
    circuit: str, other: str, unknown: set[str], data: st.DataObject
) -> None:
    """One answer was that of another machine, or not known; changed later it leads where a fresh job leads."""
    right = {name: said for name, said in truth(circuit).items() if name not in unknown}
    now = begun(circuit)
    first = now.next
    assert first
    slip = first.id.removeprefix(HAS) if data.draw(st.booleans()) else data.draw(st.sampled_from(list(BOOK.features)))
    wrong = {**right, slip: truth(other).get(slip, "not sure")}
    astray = described(now, wrong)
    said = right.get(slip, "not sure")
    if HAS + slip not in astray.state.said or said not in _choices_when_asked(astray, slip):
        return
    others = {name: told for name, told in astray.state.said.items() if name not in (VOLTS, HAS + slip)}
    if any(told != right.get(name.removeprefix(HAS), "not sure") for name, told in others.items()):
        return  # what he knows was not among the choices after the slip, so he has told less than a fresh job asks for
    mended = described(astray.change(HAS + slip, said), right)
    fresh = described(now, right)
    assert mended.state.circuit == fresh.state.circuit
    assert mended.next
    assert fresh.next
    assert mended.next.id == fresh.next.id
    assert mended.next.choices == fresh.next.choices


def _choices_when_asked(now: Consultation, feature: str) -> tuple[str, ...]:
    place = next(number for number, step in enumerate(now.steps) if id_of(step) == HAS + feature)
    asked = Consultation(BOOK, now.steps[:place]).next
    return asked.choices if asked else ()


@given(CIRCUITS, UNKNOWN)
def test_only_what_tells_circuits_apart_is_asked(circuit: str, unknown: set[str]) -> None:
    """Every feature that is asked still splits what is left, tells most of all that do, and is asked once."""
    known = {name: said for name, said in truth(circuit).items() if name not in unknown}
    now, asked = begun(circuit), []
    while now.next and now.next.id.startswith(HAS):
        left = likely(fitting(BOOK, now.state.said).circuits)
        feature = BOOK.features[now.next.id.removeprefix(HAS)]
        open_ones = [t for t in BOOK.features.values() if splits(t, left) and HAS + t.id not in now.state.said]
        assert feature in open_ones
        assert gain(feature, left) >= max(gain(other, left) for other in open_ones) - 1e-9
        asked.append(feature.id)
        now = now.answer(now.next.id, known.get(feature.id, "not sure"))
    assert len(asked) == len(set(asked))


def test_the_opening_of_a_typical_machine_is_short() -> None:
    """Safety, machine, complaint and history, its volts told at once: at most six screens, four in the middle of all.

    Kit, the cautions of the first check and what is asked before any START are not counted.
    """
    screens = []
    before = [asked.id for asked in BOOK.questions.values() if asked.before]
    for circuit in BOOK.circuits:
        volts = f"{BOOK.circuits[circuit].volts} V"
        mechanic = Mechanic(BOOK, circuit, frozenset(), complaint="chatter", describes=True, sort=volts)
        now, asked = Consultation(BOOK), []
        while now.next and now.next.kind in ("intake", "caution"):
            asked.append(now.next.id)
            now = now.answer(now.next.id, mechanic.answer(now.next))
        assert now.next
        assert now.next.kind == "check"
        assert now.state.circuit == circuit
        screens.append(len([name for name in asked if name not in ("kit", *BOOK.cautions, *before)]))
    assert median(screens) <= 4
    assert max(screens) <= 6


def test_the_circuit_may_be_named_outright() -> None:
    """By id or name where a feature is asked, or by the id of its question; a log that names it needs no features."""
    now = begun("interlocks")
    assert now.next
    name = BOOK.circuits["interlocks"].name
    for after in (
        now.answer(now.next.id, "interlocks"),
        now.answer(now.next.id, name),
        now.answer(CIRCUIT, "interlocks"),
        Consultation(BOOK, [*now.steps, AnswerStep(CIRCUIT, "interlocks")]),
    ):
        assert after.state.circuit == "interlocks"
        assert after.next
        assert after.next.id == COMPLAINT
        assert [id_of(step) for step in after.steps[-1:]] == [CIRCUIT]
    with pytest.raises(AnswerError):
        now.answer(now.next.id, "isolator_24")  # of other volts


def test_who_asks_for_the_list_gets_it() -> None:
    """All circuits of the volts, the most common first; nothing more is asked of the machine."""
    now = begun("start_relay")
    assert now.next
    listed = now.answer(now.next.id, LIST).next
    assert listed
    fits = commonest([circuit for circuit in BOOK.circuits.values() if circuit.volts == 12])
    assert listed.id == CIRCUIT
    assert listed.choices == (*(circuit.id for circuit in fits), "not sure")
    assert [circuit.common for circuit in fits] == sorted((circuit.common for circuit in fits), reverse=True)


@given(CIRCUITS, UNKNOWN)
def test_where_nobody_knows_the_fullest_is_taken(circuit: str, unknown: set[str]) -> None:
    """It is stated beforehand, no other that fits has all its parts and more, and the page says what is not known."""
    known = {name: said for name, said in truth(circuit).items() if name not in unknown}
    now = described(begun(circuit), known)
    if now.state.circuit or not now.next or "not sure" not in now.next.choices:
        return
    fits = likely(fitting(BOOK, now.state.said).circuits)
    full = fullest(BOOK, fits)
    assert full.name in now.next.meanings[-1]
    after = now.answer(CIRCUIT, "not sure")
    assert after.state.circuit == full.id
    assert after.state.taken
    assert not any(_parts(full) < _parts(one) for one in fits)
    open_ones = not_known(BOOK, after.state.said)
    said = [block.text for block in JobDriver("a job", after).page().blocks if isinstance(block, Text)]
    assert open_ones
    assert all(any(feature.name in text for text in said) for feature in open_ones)
    settled = after.change(CIRCUIT, circuit)
    assert settled.state.circuit == circuit
    assert not settled.state.taken


def _parts(circuit: Circuit) -> set[str]:
    return {part.id for section in circuit.sections for part in BOOK.sections[section].parts}


def test_what_was_found_is_told() -> None:
    """The page after the last answer names the circuit and the machines it is of."""
    now = JobDriver("a job", begun("controller_start")).enter("controller")
    assert isinstance(now, JobDriver)
    found = BOOK.circuits["controller_start"]
    assert any(found.name in line and found.about in line for line in now.said)


def test_going_back_takes_the_last_answer_away() -> None:
    """The circuit that was found by it is open again."""
    now = begun("controller_start").answer("has.start_way", "controller")
    assert now.state.circuit == "controller_start"
    assert now.back().state.circuit == ""
    assert now.back().next == begun("controller_start").next


def test_a_circuit_that_no_longer_fits_is_asked_for_again() -> None:
    """After the volts or a feature were changed; and a circuit picked from the list stays as long as it fits."""
    now = described(begun("interlocks"), {}).answer(CIRCUIT, "interlocks")
    assert now.change("has.isolator", "yes").state.circuit == "interlocks"
    assert now.change("has.start_way", "coded_key").state.circuit == "coded_start"
    other = now.change(VOLTS, "24")
    assert other.state.circuit == ""
    assert other.next
    assert other.next.id.startswith(HAS)


def test_what_it_was_last_time_is_offered_first() -> None:
    """Before the volts; yes settles it, no asks as of any machine, and the log alone gives the same."""
    now = Consultation(BOOK, before="jump_posts").answer("raised", "none").answer(COMPLAINT, "silent")
    assert now.next
    assert now.next.id == CIRCUIT
    assert BOOK.circuits["jump_posts"].name in now.next.text
    same = now.answer(CIRCUIT, "1")
    assert (same.state.circuit, same.state.volts) == ("jump_posts", 12)
    assert Consultation(BOOK, same.steps).state == same.state
    other = now.answer(CIRCUIT, "2")
    assert other.next
    assert other.next.id == USUAL
    found = described(other.answer(VOLTS, "12"), truth("coded_start"))
    assert found.state.circuit == "coded_start"
    assert Consultation(BOOK, found.steps).state == found.state
    gone = Consultation(BOOK, before="no_such").answer("raised", "none").answer(COMPLAINT, "silent")
    assert gone.next
    assert gone.next.id == USUAL


def test_a_book_without_features_shows_its_list() -> None:
    """As does one of which only one circuit has such volts: nothing was said of the machine that could settle it."""
    bare = Consultation(replace(BOOK, features={}), begun("interlocks").steps)
    assert bare.next
    assert bare.next.id == CIRCUIT
    only = replace(BOOK, circuits={"interlocks": BOOK.circuits["interlocks"]})
    one = Consultation(only, begun("interlocks").steps)
    assert one.next
    assert one.next.choices == ("interlocks",)


def test_a_circuit_that_nobody_counted_is_half_as_likely_as_one_in_a_hundred() -> None:
    """Counts are whole hundredths: what rounds to none is at most half of one, and it is not ruled out."""
    said = {VOLTS: "12", CIRCUIT: "not sure"}
    rarest = min((circuit for circuit in BOOK.circuits.values() if circuit.volts == 12), key=lambda one: one.common)
    assert rarest.common == 0.01
    uncounted = {**BOOK.circuits, rarest.id: replace(rarest, common=0.0)}
    counted, other = shares(BOOK, said), shares(replace(BOOK, circuits=uncounted), said)
    elsewhere = {
        part.id
        for circuit in BOOK.circuits.values()
        if circuit.volts == 12 and circuit.id != rarest.id
        for section in circuit.sections
        for part in BOOK.sections[section].parts
    }
    only_there = counted.keys() - elsewhere
    assert only_there
    for part in only_there:
        assert other[part] == pytest.approx(counted[part] / 2, rel=0.1)


def test_what_is_said_anew_stands_after_what_was_said_since() -> None:
    """Of two answers that no one machine fits both, the one said last before gives way."""
    one, other = list(BOOK.features.values())[:2]
    said = [(HAS + one.id, one.answers[0][0]), (HAS + other.id, other.answers[0][0]), (HAS + one.id, one.answers[1][0])]
    state = replay(BOOK, [AnswerStep(name, value) for name, value in (("raised", "none"), (VOLTS, "12"), *said)])
    assert list(state.said.items())[-2:] == said[1:]


def _feature(name: str, *answers: str) -> Feature:
    return Feature(
        id=name,
        name=name,
        ask=f"{name}?",
        how="",
        minutes=1.0,
        answers=tuple((answer, answer) for answer in answers),
        because="so",
        source="none",
    )


def test_the_worth_of_a_feature_is_reckoned_in_bits() -> None:
    """Four equal circuits: a feature with four answers tells two bits, one that halves them one, silence none."""
    has = ({"way": ("a",)}, {"way": ("b",)}, {"way": ("c",), "half": ("no",)}, {"way": ("d",), "half": ("no",)})
    rows = [{"half": ("yes",), **one} for one in has]
    base = BOOK.circuits["interlocks"]
    four = [replace(base, id=f"c{number}", has=row, common=0.25) for number, row in enumerate(rows)]
    way, half, silent = (
        _feature("way", "a", "b", "c", "d"),
        _feature("half", "yes", "no"),
        _feature("silent", "yes", "no"),
    )
    assert gain(way, four) == pytest.approx(2.0)
    assert gain(half, four) == pytest.approx(1.0)
    assert not splits(silent, four)
    small = replace(BOOK, circuits={one.id: one for one in four}, features={t.id: t for t in (half, silent, way)})
    assert next_feature(small, {VOLTS: "12"}) == way
    assert next_feature(small, {VOLTS: "12", "has.way": "not sure"}) == half
    assert next_feature(small, {VOLTS: "12", "has.way": LIST}) is None
