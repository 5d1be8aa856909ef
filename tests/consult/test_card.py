"""The card of a machine: what a job takes from it, what it never does, what is written at the end."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.agenda.opening_questions import intake
from coldiron.book.history import COMPLAINT
from coldiron.book.machines import Card
from coldiron.cards.building import built
from coldiron.cards.folder import id_of, path_of
from coldiron.cards.printing import card_text
from coldiron.cards.reading import card_of
from coldiron.consult.fold import replay
from coldiron.job.card import CARD, CHANGED, steps_of_card
from coldiron.job.steps import AnswerStep, CardStep
from coldiron.machine.fitting import CIRCUIT, FITTED, USUAL, VOLTS
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Reply, Text, take
from coldiron.screens.replay import keep_nothing
from coldiron.screens.resuming import old_job
from coldiron.screens.saving import begun, kept_as, new_job
from support.mechanic import Mechanic, shipped
from support.sizes import size

BOOK = shipped()
OPENED = Consultation(BOOK).answer("raised", "none")
SORTS = list(BOOK.usual)
TEXTS = st.text(max_size=400)
ORDER = (USUAL, VOLTS, CIRCUIT, FITTED)
"""In which the lines of a card stand."""

Pairs = tuple[tuple[str, str], ...]
SAID = st.fixed_dictionaries(
    {},
    optional={
        USUAL: st.sampled_from(SORTS),
        VOLTS: st.sampled_from(["12", "24"]),
        CIRCUIT: st.sampled_from([*BOOK.circuits, "start_relay+glow_plugs", "controller_24-isolator_ground"]),
        FITTED: st.lists(st.sampled_from(list(BOOK.options)), min_size=1, unique=True, max_size=3).map(",".join),
    },
)
CARDS = st.builds(
    Card,
    name=TEXTS,
    said=SAID.map(lambda said: tuple((name, said[name]) for name in ORDER if name in said)),
    notes=st.lists(st.tuples(st.sampled_from([*BOOK.parts, *BOOK.points, *BOOK.checks]), TEXTS), max_size=4).map(tuple),
    healthy=st.lists(st.tuples(st.sampled_from(list(BOOK.checks)), TEXTS), max_size=3).map(tuple),
    fixed=st.lists(st.tuples(st.sampled_from(list(BOOK.faults)), TEXTS), max_size=3).map(tuple),
    bare=st.lists(st.sampled_from(list(BOOK.options)), unique=True, max_size=3).map(tuple),
)


@settings(max_examples=size(40, 200, 1000))
@given(CARDS, TEXTS)
def test_a_printed_card_reads_as_it_was_and_prints_the_same(card: Card, called: str) -> None:
    """Whatever a person typed into it; what a file cannot hold is left out the first time."""
    text = card_text(BOOK, called or "x", card)
    again, problems = built(BOOK, "x.rules", text.encode())
    assert problems == ()
    assert again is not None
    assert card_text(BOOK, called or "x", again) == text
    assert (again.said, again.bare) == (card.said, card.bare)
    for mine, other in ((card.notes, again.notes), (card.healthy, again.healthy), (card.fixed, again.fixed)):
        assert [of for of, _ in mine] == [of for of, _ in other]


@given(TEXTS)
def test_any_name_has_one_file_inside_the_folder(called: str) -> None:
    """Capitals and blanks make no other machine; no name leads out of the folder."""
    known = id_of(called)
    assert all(letter.isascii() and (letter.isalnum() or letter == "_") for letter in known)
    assert id_of(f"  {called.casefold()} ") == known
    assert path_of(called).parent == path_of("x").parent


MANY = "a card may have 40 lines 'lacks': leave some out"


@pytest.mark.parametrize(
    ("text", "said", "meant"),
    [
        ("machine a_b\n  name a\n  note batery Left.\n", "there is no part, point or check 'batery'", "battery"),
        ("machine a_b\n  nam a\n", "a machine has no line 'nam'", "name"),
        ("machine a_b\n  name a\nmachine c_d\n  name c\n", "a card holds one machine and nothing else", ""),
        ("kit meter\n  name a\n", "a card holds one machine and nothing else", ""),
        ("", "a card holds one machine and nothing else", ""),
        ("#\n" * 60_000, "a card may have 100000 bytes: leave something out", ""),
        (
            "machine a_b\n  name a\n" + "  lacks rest_volts\n" * 41,
            MANY,
            "",
        ),
        ("machine a_b\n  name a\x1b[31m\n", "", ""),
    ],
)
def test_a_damaged_card_is_told_and_not_used(text: str, said: str, meant: str) -> None:
    """With its place, a sentence, and what was meant."""
    card, problems = built(BOOK, "a.rules", text.encode())
    assert card is None
    assert problems[0].place.file == "a.rules"
    assert said in {"", problems[0].sentence}
    assert problems[0].nearest == meant


def known(sort: str, notes: Pairs = (), healthy: Pairs = ()) -> Consultation:
    """A job on a machine of a sort that has a card."""
    volts = str(min(circuit.volts for circuit in BOOK.circuits.values() if circuit.volts))
    asked = intake(after(Consultation(BOOK), ("raised", "none"), (USUAL, sort)).state)
    said = ((USUAL, sort), *(((VOLTS, volts),) if asked and asked.id == VOLTS else ()))
    card = Card("roller 7", said, notes, healthy, bare=tuple(BOOK.options))
    return Consultation(BOOK, steps_of_card(card)).answer("raised", "none")


@pytest.mark.parametrize("sort", SORTS[:: size(8, 3, 1)])
def test_three_answers_lead_to_the_first_check_of_a_known_machine(sort: str) -> None:
    """How it stands, what it does, what is at hand: then a check, its cautions, or what its caution asks."""
    job = known(sort)
    asked = job.next
    assert asked is not None
    assert asked.id == COMPLAINT
    assert BOOK.usual[sort].name in asked.text
    for complaint in asked.choices[:: size(6, 2, 1)]:
        if complaint != CHANGED:
            opened = after(job, (COMPLAINT, complaint), ("kit", "all"))
            assert intake(opened.state) is None, complaint
            assert len([step for step in opened.steps if not isinstance(step, CardStep)]) == 3


def test_what_else_a_known_machine_has_is_asked_after_its_first_check() -> None:
    """Where another symptom makes it worth a question; what was asked before is not asked again."""
    card = Card("x", ((USUAL, "small_tractor"),), bare=("isolator_positive", "isolator_ground"))
    job = after(Consultation(BOOK, steps_of_card(card)), ("raised", "none"), (COMPLAINT, "silent"), ("kit", "all"))
    assert intake(job.state) is None
    asked = intake(after(job, ("rest_volts", "12.6")).state)
    assert asked
    assert asked.id == FITTED
    assert "tracker" in asked.choices
    assert not {*card.bare} & {*asked.choices}
    told = after(job, ("rest_volts", "12.6"), (FITTED, "tracker"))
    assert intake(told.state) is None
    assert told.state.said[FITTED] == "tracker"
    assert set(told.state.bare) == {*asked.choices} & {*BOOK.options} - {"tracker"}


def after(job: Consultation, *answers: tuple[str, str]) -> Consultation:
    """The job with answers more in its log; nothing is composed for it."""
    return Consultation(BOOK, (*job.steps, *(AnswerStep(name, value) for name, value in answers)))


def test_what_has_changed_is_asked_anew_and_going_back_takes_it_back() -> None:
    """`changed` drops the kind alone; notes stand."""
    job = known("grader")
    changed = job.answer(COMPLAINT, CHANGED)
    assert changed.next
    assert changed.next.id == USUAL
    assert changed.state.card.name == "roller 7"
    back = changed.back()
    assert back.next == job.next
    later = after(job, (COMPLAINT, "silent"), (CARD, CHANGED))
    assert later.state.said == {}
    assert later.next
    assert later.next.id == USUAL


def test_notes_and_healthy_readings_stand_at_their_checks() -> None:
    """At a check of the point, of the part that joins it, and of the check itself; a reading beside the band."""
    job = known(
        "grader",
        notes=(("battery", "Behind the left step."), ("rest_volts", "Use the long leads."), ("starter", "No.")),
        healthy=(("rest_volts", "25.3 V"),),
    ).answer(COMPLAINT, "silent")
    asked = job.question("rest_volts")
    assert asked.notes == ("Behind the left step.", "Use the long leads.")
    assert asked.good.endswith("(this machine, sound: 25.3 V)")
    assert asked.cautions == known("grader").answer(COMPLAINT, "silent").question("rest_volts").cautions


def test_a_card_is_contradicted_by_what_is_not_there() -> None:
    """A relay that only the card tells of is not fitted: that is believed; told today, it is refused."""
    said = ((USUAL, "small_tractor"), ("has.start_relay", "yes"))
    start = Consultation(BOOK, steps_of_card(Card("x", said))).answer("raised", "none").answer(COMPLAINT, "silent")
    told = Consultation(BOOK).answer("raised", "none").answer(USUAL, "small_tractor").answer("has.start_relay", "yes")
    told = told.answer(COMPLAINT, "silent")
    assert start.state.said == told.state.said
    refused = []
    for check in (one.id for one in start.checks):
        try:
            told.answer(check, "not fitted")
        except AnswerError:
            refused.append(check)
    taken = [check for check in refused if _is_taken(start, check)]
    assert any("relay" in check for check in taken), refused


def _is_taken(job: Consultation, check: str) -> bool:
    try:
        after = job.answer(check, "not fitted")
    except AnswerError:
        return False
    return "has.start_relay" not in after.state.said


def pages(job: Consultation, mechanic: Mechanic) -> Iterator[Consultation]:
    """The job at every page, as a mechanic works it."""
    for _ in range(100):
        yield job
        if job.next is None:
            return
        job = job.answer(job.next.id, mechanic.answer(job.next), sure=True)
        last = job.steps[-1]
        if last.kind == "repair":
            mechanic.mend(last.id if hasattr(last, "id") else last.fault)


JOBS = [("glow_plugs", "battery.half"), ("start_relay", "starter.seized"), ("interlocks", "battery.flat")]


@pytest.mark.parametrize(("circuit", "fault"), JOBS[: size(1, 2, 3)])
def test_a_card_takes_no_caution_from_any_page(circuit: str, fault: str) -> None:
    """The same job with a full card and without one: same questions, same cautions; and every prefix folds alike."""
    full = Card(
        "x",
        ((CIRCUIT, circuit),),
        tuple((part, "Here.") for part in BOOK.parts),
        tuple((check, "12 V") for check in BOOK.checks),
        tuple((fault, "2026-05-04") for fault in BOOK.faults),
        tuple(BOOK.options),
    )
    plain, card = Mechanic(BOOK, circuit, frozenset([fault])), Mechanic(BOOK, circuit, frozenset([fault]))
    without = [now for now in pages(Consultation(BOOK), plain) if now.state.complaint]
    with_it = [now for now in pages(Consultation(BOOK, steps_of_card(full)), card) if now.state.complaint]
    shown = [[(now.next.id, now.next.cautions, now.next.acks) for now in one if now.next] for one in (without, with_it)]
    assert shown[0] == shown[1]
    assert with_it[-1].state.handed_back
    for now in with_it[:: size(9, 3, 1)]:
        assert replay(BOOK, now.steps) == now.state
        fresh = Consultation(BOOK, now.steps)
        assert (fresh.next, fresh.suspects) == (now.next, now.suspects)


def worked(name: str, *answers: str) -> JobDriver:
    """A named job worked and saved to its end, each of some words typed at its first check, an answer to the offer."""
    steps, told = begun(name, BOOK)
    driver = JobDriver(name or "A dead machine", Consultation(BOOK, steps), said=told, keeps=kept_as(name))
    job, mechanic, typed = (
        new_job(name, BOOK, None),
        Mechanic(BOOK, "glow_plugs", frozenset(["battery.half"])),
        [*answers],
    )
    while (asked := driver.consultation.next) is not None:
        if asked.kind == "check" and len(typed) > 1:
            driver = entered(driver, typed.pop(0), job.save)
        if asked.kind == "repair":
            mechanic.mend(asked.id)
        driver = entered(driver, mechanic.answer(asked), job.save)
    return entered(driver, typed[0], job.save)


def entered(driver: JobDriver, line: str, save: object) -> JobDriver:
    """The driver after a line, a doubted one typed twice."""
    after = take(driver, line, save)  # type: ignore[arg-type]
    assert isinstance(after, JobDriver), (line, after)
    return entered(after, line, save) if after.doubted and after.doubted != driver.doubted else after


def test_a_card_written_on_the_first_job_is_used_on_the_second(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And its note; a resumed job goes by its log alone, whatever became of the file since."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    end = worked("Red 7", "card Plug \x1b[31mX14, IMG_1", "yes")
    assert end.page().prompt is None
    card, problems = card_of(BOOK, "  RED 7 ")
    assert problems == ()
    assert card is not None
    assert dict(card.said)[CIRCUIT] == "glow_plugs"
    assert [fault for fault, _ in card.fixed] == ["battery.half"]
    assert "rest_volts" in dict(card.healthy)
    assert [text for _, text in card.notes] == ["Plug [31mX14, IMG_1"]
    assert path_of("red 7").stat().st_mode & 0o777 == 0o600

    steps, _ = begun("red 7", BOOK)
    job = new_job("red 7", BOOK, None)
    second = JobDriver("red 7", Consultation(BOOK, steps), keeps="red 7")
    assert any(isinstance(block, Text) and block.label == "Fixed before" for block in second.page().blocks)
    second = entered(second, "none", job.save)
    path_of("red 7").write_text("machine", encoding="utf-8")
    _, resumed = old_job(job.number, BOOK, None)
    assert resumed.consultation.state.card == second.consultation.state.card
    assert begun("red 7", BOOK)[0] == ()
    assert "Fix it in" in begun("red 7", BOOK)[1][-1]
    assert entered(second, "park", keep_nothing).parked


@pytest.mark.parametrize(
    ("name", "answer", "files"), [("Red 7", "no", 0), ("Red 7", "park", 0), ("", "no", 0), ("", "Blue 9", 1)]
)
def test_nothing_is_written_unless_it_is_said(
    name: str, answer: str, files: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A machine without a name is asked for one."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    worked(name, answer)
    assert len(list(tmp_path.glob("machines/*"))) == files


class OneCard:
    """The card of one machine."""

    def any(self) -> bool:
        """There it is."""
        return True

    def of(self, name: str) -> tuple[CardStep, ...]:
        """Of one name alone."""
        return steps_of_card(Card("Red 7", ((USUAL, "grader"),))) if name == "red 7" else ()


def test_its_name_at_the_question_what_it_is_finds_its_card() -> None:
    """Who began without a name types it there; a sort of machine still is one."""
    driver = JobDriver("x", OPENED, cards=OneCard())
    assert any(isinstance(block, Text) and "type its name" in block.text for block in driver.page().blocks)
    known = entered(driver, "red 7", keep_nothing)
    assert known.consultation.next
    assert "As on its card: grader" in known.consultation.next.text
    other = steps_of_card(Card("Blue 9", ((USUAL, "roller"), (VOLTS, "24")), fixed=(("battery.flat", "today"),)))
    changed = entered(known, CHANGED, keep_nothing).consultation
    again = Consultation(BOOK, (*changed.steps, *other))
    assert again.state.card == Card("Blue 9", ((USUAL, "roller"), (VOLTS, "24")), fixed=(("battery.flat", "today"),))
    assert again.next
    assert "As on its card: roller" in again.next.text
    told = entered(driver, "roller", keep_nothing)
    assert told.consultation.state.said == {USUAL: "roller"}


def test_a_note_needs_a_step_that_is_about_a_part() -> None:
    """On the first page there is none; `card` alone shows what is there."""
    driver = JobDriver("x", Consultation(BOOK))
    for line in ("card blue wire", "card"):
        reply = driver.enter(line)
        assert isinstance(reply, Reply)
