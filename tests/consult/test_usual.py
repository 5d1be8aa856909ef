"""A machine told by its sort: nothing more is asked of it until it matters, and what is told besides is believed."""

from __future__ import annotations

from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.book.machines import Circuit
from coldiron.book.variants import circuit_named
from coldiron.machine.describing import is_of_sort, left
from coldiron.machine.fitting import CIRCUIT, FITTED, HAS, USUAL, VOLTS, of_sort
from coldiron.readings.heard import sort_heard, volts_heard
from coldiron.record import replace
from support.mechanic import Mechanic, shipped
from support.sizes import size

BOOK = shipped()
OPENED = Consultation(BOOK).answer("raised", "none")
EVERY = [(sort, one.id) for sort in BOOK.usual for one in of_sort(BOOK, sort)]
FEW = EVERY[:: max(1, len(EVERY) // size(3, 8, len(EVERY)))]


@pytest.mark.parametrize("sort", BOOK.usual)
def test_each_is_known_by_each_of_its_names(sort: str) -> None:
    """Alone and in a sentence, in any case; a longer name goes before a shorter one inside it."""
    for phrase in (*BOOK.usual[sort].hears, BOOK.usual[sort].name):
        assert OPENED.answer(USUAL, phrase.upper()).state.said == {USUAL: sort}, phrase
    for phrase in BOOK.usual[sort].hears:
        assert sort_heard(BOOK, f"An old {phrase}, blue one.") in {sort, "old_tractor"}, phrase


@pytest.mark.parametrize("sort", BOOK.usual)
def test_shares_are_of_all_and_its_machines_can_be(sort: str) -> None:
    """The shares of a sort make 100, and each of its machines is another."""
    likes = BOOK.usual[sort].likes
    assert sum(like.share for like in likes) == pytest.approx(1)
    assert len(of_sort(BOOK, sort)) == len(likes)


def test_volts_or_a_circuit_may_be_told_instead() -> None:
    """Somebody knows what is in it; a word that is neither is refused with a way on."""
    assert OPENED.answer(USUAL, "24 V").state.said == {VOLTS: "24"}
    assert OPENED.answer(USUAL, "interlocks").state.circuit == "interlocks"
    for told in ("none of these", "not sure"):
        after = OPENED.answer(USUAL, told)
        assert after.next
        assert after.next.id == VOLTS
    with pytest.raises(AnswerError):
        OPENED.answer(USUAL, "zeppelin")


@pytest.mark.parametrize(
    ("told", "volts"),
    [
        ("a 24 V silage chopper", "24"),
        ("24-volt harvester", "24"),
        ("12v tractor", "12"),
        ("a 24.5 V one", ""),
        ("tractor of 24 valves", ""),
        ("12 V lamps on a 24 V truck", ""),
        ("4x4 with 300 hours", ""),
    ],
)
def test_volts_are_heard_in_own_words(told: str, volts: str) -> None:
    """A whole number of volts, if it is the only one."""
    assert volts_heard(told) == volts


def test_volts_that_were_said_with_the_sort_are_not_asked_for() -> None:
    """They are kept with it, told back, and read again from the log; volts that no machine has are not believed."""
    after = OPENED.answer(USUAL, "Old 24 V roller, yellow")
    assert after.state.said == {USUAL: "roller", VOLTS: "24"}
    assert after.next
    assert after.next.id != VOLTS
    assert Consultation(BOOK, after.steps).state == after.state
    assert OPENED.answer(USUAL, "Old 36 V roller").state.said == {USUAL: "roller"}


def test_what_it_is_taken_to_have_is_not_asked_for_again() -> None:
    """A small tractor is taken to have switches before its relay; a tracker it may have besides."""
    asked = OPENED.answer(USUAL, "small tractor").answer(COMPLAINT, "silent").next
    assert asked
    assert asked.id == FITTED
    assert "tracker" in asked.choices
    assert "interlock_switches" not in asked.choices


def test_volts_are_asked_where_such_machines_have_either() -> None:
    """A roller may have 12 or 24 V, a grader has 24."""
    roller, grader = OPENED.answer(USUAL, "roller"), OPENED.answer(USUAL, "grader")
    assert roller.next
    assert roller.next.id == VOLTS
    assert roller.answer(VOLTS, "24").state.volts == 24
    assert grader.next
    assert grader.next.id == COMPLAINT
    assert grader.state.volts == 24


def test_what_no_such_machine_has_makes_it_another() -> None:
    """A grader of 12 V, and one with jump posts: found among all machines then, and asked for as any."""
    odd = OPENED.answer(USUAL, "grader").answer(VOLTS, "12")
    assert not is_of_sort(BOOK, odd.state.said)
    assert not odd.state.circuit
    assert odd.next
    assert odd.next.id.startswith(HAS)
    named = OPENED.answer(USUAL, "grader").answer(CIRCUIT, "jump_posts")
    assert named.state.circuit == "jump_posts"


@settings(max_examples=size(10, 25, 200))
@given(st.sampled_from(EVERY), st.permutations(list(BOOK.features)))
def test_what_is_told_of_it_leaves_the_true_machine(each: tuple[str, str], order: list[str]) -> None:
    """Every feature told truly, in any order: the machine is among those left, and a fresh job has the same state."""
    sort, name = each
    made = circuit_named(BOOK, name)
    assert made
    now = OPENED.answer(USUAL, sort).answer(VOLTS, str(made.volts))
    for feature in order:
        answers = made.has.get(feature, ())
        if answers:
            now = now.answer(HAS + feature, answers[0])
            assert is_of_sort(BOOK, now.state.said)
    assert name in {one.id for one in now_left(now)} | {now.state.circuit}
    assert Consultation(BOOK, now.steps).state == now.state


def at(name: str, fault: str = "", *, complaint: str = "", sort: str = "other") -> Mechanic:
    """A mechanic at a machine of that circuit, a variant put together for him; he tells its sort."""
    made = circuit_named(BOOK, name)
    assert made
    book = replace(BOOK, circuits={**BOOK.circuits, name: made})
    return Mechanic(book, name, frozenset(filter(None, [fault])), complaint=complaint, describes=True, sort=sort)


def now_left(now: Consultation) -> tuple[Circuit, ...]:
    """What the machine may be now."""
    return left(BOOK, now.state.said)


def test_the_first_check_comes_within_five_answers() -> None:
    """In the middle of all machines of all sorts and of three symptoms, kit counted; the rest is asked once it matters.

    What is asked before any START, and cautions, are not counted: they are not about what the machine is.
    """
    counted = []
    before = {asked.id for asked in BOOK.questions.values() if asked.before}
    for sort, name in EVERY[:: size(12, 6, 1)]:
        for complaint in ("no_power", "silent", "slow_crank"):
            mechanic = at(name, complaint=complaint, sort=sort)
            now, asked = Consultation(BOOK), []
            while now.next and now.next.id not in BOOK.checks:
                if now.next.kind != "caution" and now.next.id not in before:
                    asked.append(now.next.id)
                now = now.answer(now.next.id, mechanic.answer(now.next))
            counted.append(len(asked))
    assert median(counted) <= 5
    assert max(counted) <= 8


@pytest.mark.parametrize(("sort", "name"), FEW)
def test_a_hidden_fault_is_found_on_a_machine_told_by_its_sort(sort: str, name: str) -> None:
    """A wire in the start path: what lies there is asked for before it is measured, or said not to be there."""
    probe = at(name)
    parts = ("starter_wire.broken", "s_terminal.off")
    fault = next(one for one in parts if one in probe.machine.faults)
    mechanic = at(name, fault, sort=sort)
    now = Consultation(BOOK)
    for _ in range(90):
        if now.next is None:
            break
        asked = now.next
        said = mechanic.answer(asked) if asked.kind != "repair" or asked.id in mechanic.machine.faults else "no"
        now = now.answer(asked.id, said, sure=True)
        if said == "done":
            mechanic.do(asked)
    assert now.next is None
    assert fault in now.verdict.repaired


def test_who_asks_for_the_list_gets_it() -> None:
    """Where a feature is asked in the course of the job: every circuit of those volts, the most common first."""
    now = OPENED.answer(USUAL, "excavator").answer(COMPLAINT, "silent").answer("has.isolator", "list")
    while now.next and now.next.id != CIRCUIT:
        now = now.answer(now.next.id, "24" if now.next.id == VOLTS else "not sure")
    assert now.next
    assert {"isolator_24", "controller_24", "tap_12v"} <= set(now.next.choices)
    assert now.answer(CIRCUIT, "tap_12v").state.circuit == "tap_12v"
    assert now.answer(CIRCUIT, "not sure").state.circuit


def at_cable_fix() -> Consultation:
    """A site dumper that rattles: volts are lost between the positive post and the starter, and nowhere else."""
    now = OPENED.answer(USUAL, "site dumper").answer(COMPLAINT, "chatter").answer("kit", "all")
    read = {"rest_volts": "12.5", "plus_path_drop": "4.2", "plus_clamp_drop": "0.03", "ground_path_drop": "0.06"}
    for check, figure in {**read, "control_loss": "7.1"}.items():
        now = now.answer(check, figure)
    for _ in range(30):
        if now.next is None or now.next.kind == "repair" or now.next.id == HAS + "isolator":
            break
        asked = now.next
        told = {"has.start_way": "one_switch", "engine_inside": "sound", "frost": "mild"}
        said = asked.choices[0] if asked.kind in ("caution", "set") else told.get(asked.id, "not sure")
        now = now.answer(asked.id, said if asked.kind != "check" else "cannot reach")
    return now


def test_what_may_lie_in_the_same_stretch_is_asked_for_before_a_fix() -> None:
    """The sort says nothing of a disconnect switch: a cable is not condemned before somebody looked for one."""
    now = at_cable_fix()
    assert now.next
    assert now.next.id == HAS + "isolator"
    there, gone = now.answer(now.next.id, "positive"), now.answer(now.next.id, "no")
    assert there.setup
    assert "isolator" in there.setup.machine.parts
    assert dict(there.suspects)["isolator.burnt"] > 0.1
    seen = []
    for _ in range(20):
        if gone.next is None or gone.next.kind == "repair":
            break
        seen.append(gone.next.id)
        gone = gone.answer(seen[-1], gone.next.choices[0] if gone.next.kind in ("caution", "set") else "not sure")
    assert HAS + "isolator" not in seen
    assert gone.next
    assert gone.next.id.startswith("plus_cable.")


@pytest.mark.parametrize("sort", ["roller", "excavator"])
def test_what_it_is_told_to_have_leaves_out_machines_that_cannot_have_it(sort: str) -> None:
    """A roller with a solenoid of two windings has no electronic engine, though most of its sort may have one."""
    now = OPENED.answer(USUAL, sort)
    now = now.answer(VOLTS, "24") if now.next and now.next.id == VOLTS else now
    now = now.answer(COMPLAINT, "cranks_only")
    assert now.next
    assert "stop_two_windings" in now.next.choices
    told = now.answer(FITTED, "stop_two_windings")
    assert told.setup
    assert {"pull_coil", "hold_coil"} <= told.setup.machine.parts.keys()
