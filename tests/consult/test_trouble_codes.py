"""Trouble codes at the prompt: read or asked about, taken down, shown in words, and weighed as evidence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import LARGEST_FMI, LARGEST_SPN
from coldiron.machine.codes import TroubleCode, entry_of, in_words, read_code
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Page, Reply, Text
from coldiron.screens.resuming import old_job
from coldiron.screens.saving import new_job
from coldiron.screens.script import follow, lines
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("start_relay", "relay_ground.off")
TABLE = [
    (json.loads(row[0]), row[1])
    for line in (Path(__file__).parent / "codes.tsv").read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#") and (row := line.split("\t"))
]

CODES = st.builds(TroubleCode, st.integers(0, LARGEST_SPN), st.integers(0, LARGEST_FMI))
KNOWN = st.sampled_from([TroubleCode(code.spn, fmi) for code in BOOK.codes.values() for fmi in code.fmis])


def begun(circuit: str = "start_relay", complaint: str = "silent") -> Consultation:
    consultation = Consultation(BOOK).answer("raised", "none")
    for name, value in (("complaint", complaint), ("volts", BOOK.circuits[circuit].volts), ("circuit", circuit)):
        consultation = consultation.answer(name, value)
    return consultation.answer("kit", "all")


def said(reply: JobDriver | Reply) -> str:
    blocks = reply.blocks if isinstance(reply, Reply) else reply.page().blocks
    return "\n".join(block.text for block in blocks if isinstance(block, Text))


def entered(driver: JobDriver, *typed: str) -> JobDriver:
    for line in typed:
        after = driver.enter(line)
        assert isinstance(after, JobDriver), said(after)
        driver = after
    return driver


@pytest.mark.parametrize(("text", "outcome"), TABLE, ids=[repr(text) for text, _ in TABLE])
def test_what_is_typed_is_read_or_asked_about(text: str, outcome: str) -> None:
    if outcome.startswith("= "):
        assert str(read_code(text)) == outcome[2:]
        return
    place, _, sentence = outcome.partition(" ")
    with pytest.raises(AnswerError) as refused:
        read_code(text)
    assert sentence in refused.value.sentence
    assert refused.value.place == int(place)


@given(CODES, st.sampled_from(["{0} {1}", "{0}/{1}", "SPN {0} FMI {1}", "fmi {1} spn {0}", "{0}-{1:02d}"]))
def test_every_code_reads_however_it_is_written(code: TroubleCode, form: str) -> None:
    assert read_code(form.format(*code)) == code


@given(st.text(max_size=80) | st.from_regex(r"[sSpPnNfFmMiI0-9 :/.,=+#*-]{0,70}", fullmatch=True))
def test_any_text_gives_two_numbers_that_can_be_or_a_sentence(text: str) -> None:
    found: TroubleCode | AnswerError
    try:
        found = read_code(text)
    except AnswerError as error:
        found = error
    if isinstance(found, AnswerError):
        assert found.sentence
        assert 0 <= found.place <= len(found.text)
    else:
        assert 0 <= found.spn <= LARGEST_SPN
        assert 0 <= found.fmi <= LARGEST_FMI


def test_swapped_numbers_are_offered_the_right_way_round() -> None:
    with pytest.raises(AnswerError) as refused:
        read_code("1 168")
    assert refused.value.could_be == ("code 168 1",)


def test_a_code_is_taken_down_at_any_prompt() -> None:
    """Cautions and hand-back included: it asks nothing of anybody, and what is asked stays asked or gives way."""
    for now in JOB.after:
        after = entered(JobDriver("a job", now), "code 168 1")
        assert len(after.consultation.steps) == len(now.steps) + 1
        assert after.consultation.state.codes == [TroubleCode(168, 1)]
        assert isinstance(after.page(), Page)
        assert "Written down: SPN 168, battery volts, input 1; FMI 1, below normal, most severe." in said(after)


@pytest.mark.parametrize("line", ["code 677 5", "code SPN 677 FMI 5", "SPN 677 FMI 5", "spn 677/5", "CODE 677/5"])
def test_a_code_moves_the_odds_of_what_it_points_to(line: str) -> None:
    before = begun()
    after = entered(JobDriver("a job", before), line).consultation
    for fault in ("start_relay.coil_open", "relay_ground.off"):
        assert dict(after.suspects)[fault] > dict(before.suspects)[fault] * 1.5
    assert before.next is not None
    assert after.next is not None


def test_what_it_makes_likelier_is_said() -> None:
    assert "It makes these likelier: the start relay: coil open" in said(
        entered(JobDriver("a job", begun()), "code 677 5")
    )
    early = entered(JobDriver("a job", Consultation(BOOK)), "code 677 5")
    assert "It counts once the machine is known" in said(early)
    assert "changes nothing on this circuit" in said(entered(JobDriver("a job", begun()), "code 3509 4"))


def test_a_code_given_before_the_machine_is_known_counts_like_one_given_after() -> None:
    early = Consultation(BOOK).code("677 5")
    for name, value in (("raised", "none"), ("complaint", "silent"), ("volts", 12), ("circuit", "start_relay")):
        early = early.answer(name, value)
    assert early.answer("kit", "all").suspects == begun().code("677 5").suspects


def test_a_code_nobody_knows_is_a_note_and_shows_that_a_controller_talks() -> None:
    before = begun("isolator_24", "part_alive")
    driver = entered(JobDriver("a job", before), "code 520999 27")
    assert "This tool does not know that code. It is kept as a note" in said(driver)
    assert "reserved by the standard" in said(driver)
    after = driver.consultation
    assert after.state.notes == [f"Trouble code {in_words(BOOK, TroubleCode(520999, 27))}"]
    assert after.state.codes == [TroubleCode(520999, 27)]
    assert dict(after.suspects)["run_relay.contacts_dead"] < dict(before.suspects)["run_relay.contacts_dead"]


@settings(max_examples=30, deadline=None)
@given(st.lists(KNOWN, min_size=1, max_size=4, unique=True), st.randoms(use_true_random=False))
def test_the_order_of_codes_changes_nothing(codes: list[TroubleCode], rng: object) -> None:
    """Nor does going back: what is left weighs as if the rest had never been said."""
    one = two = begun()
    for code in codes:
        one = one.code(str(code))
    shuffled = list(codes)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    for code in shuffled:
        two = two.code(str(code))
    assert one.suspects == two.suspects
    for _ in codes:
        one = one.back()
    assert one.suspects == begun().suspects


@settings(max_examples=30, deadline=None)
@given(st.lists(KNOWN, max_size=5, unique=True))
def test_codes_of_one_topic_do_not_add_up(codes: list[TroubleCode]) -> None:
    """The strongest of a topic counts, and all together stay within a factor of ten."""
    consultation = begun()
    for code in codes:
        consultation = consultation.code(str(code))
    judged = consultation.judged
    assert judged is not None
    assert all(0.1 <= factor <= 10 for factor in judged.directives.shifts.values())
    entries = {entry.id: entry for code in codes if (entry := entry_of(BOOK, code))}
    for shift in judged.directives.shifted:
        of_topic = [
            other.factor
            for entry in entries.values()
            if entry.topic == shift.topic
            for other in entry.shifts
            if shift.fault in judged.setup.grounding.named(other.faults)
        ]
        assert not of_topic or shift.factor in of_topic


def test_back_change_and_the_list_of_answers_know_codes() -> None:
    driver = entered(JobDriver("a job", begun()), "code 168 1", "code 677 5")
    listed = said(driver.enter("change"))
    assert "Trouble code: SPN 168, battery volts, input 1; FMI 1, below normal, most severe" in listed
    changed = entered(driver, "change code.1 167 1")
    assert changed.consultation.state.codes == [TroubleCode(167, 1), TroubleCode(677, 5)]
    assert "now SPN 167, charging volts; FMI 1" in said(changed)
    number = next(row.split()[0] for row in listed.splitlines() if "SPN 677" in row)
    assert entered(driver, f"change {number} SPN 677 FMI 6").consultation.state.codes[1] == TroubleCode(677, 6)
    back = entered(changed, "back")
    assert back.consultation.state.codes == [TroubleCode(168, 1), TroubleCode(677, 5)]
    gone = entered(driver, "back")
    assert "Taken back: Trouble code: SPN 677, start relay; FMI 5" in said(gone)
    assert gone.consultation.suspects == begun().code("168 1").suspects
    again = entered(gone, "code 115 18")
    assert again.consultation.change("code.3", "114 1").state.codes == [TroubleCode(168, 1), TroubleCode(114, 1)]


@pytest.mark.parametrize("line", ["code 168 1", "change code.2 168 1"])
def test_the_same_code_is_not_taken_down_twice(line: str) -> None:
    driver = entered(JobDriver("a job", begun()), "code 168 1", "code 677 5")
    refused = driver.enter(line)
    assert isinstance(refused, Reply)
    assert refused.refused
    assert "written down already" in said(refused)


@pytest.mark.parametrize(
    ("line", "column", "words"),
    [
        ("code 168 44", 10, "There is no FMI 44"),
        ("SPN 999999 FMI 1", 5, "There is no SPN 999999"),
        ("code", 0, "Type the SPN, then the FMI"),
        ("code battery", 0, "is not one SPN and one FMI"),
        ("code 1 168", 8, "Closest: code 168 1."),
        ("change code.1 168", 0, "Which FMI"),
    ],
)
def test_what_cannot_be_is_a_plain_sentence_at_its_place(line: str, column: int, words: str) -> None:
    driver = entered(JobDriver("a job", begun()), "code 158 4")
    reply = driver.enter(line)
    assert isinstance(reply, Reply)
    assert reply.refused
    assert reply.place == column
    assert words in said(reply)


def test_a_job_goes_on_from_the_disk_with_its_codes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    saved = new_job("Roller", BOOK, None)
    driver = entered(JobDriver(saved.title, begun()), "code SPN 168 FMI 1", "code 520999 3", "change code.1 677 5")
    saved.save(driver.unsaved)
    _, again = old_job(None, BOOK, None)
    assert again.consultation.steps == driver.consultation.resume().steps
    assert again.consultation.suspects == driver.consultation.suspects
    assert again.consultation.state.codes == [TroubleCode(677, 5), TroubleCode(520999, 3)]


def test_a_script_gives_codes_anywhere_even_before_a_caution() -> None:
    """A code asks nothing of anybody, so it needs no caution first; a wrong one is named by its line."""
    asked = [json.dumps({"id": question.id, "value": answer}) for question, answer in JOB.said]
    place = next(n for n, (question, _) in enumerate(JOB.said) if question.kind == "caution")
    code = json.dumps({"id": "code", "value": "168 1"})
    after = list(follow(Consultation(BOOK), lines("\n".join([*asked[:place], code, *asked[place : place + 1]]))))[-1]
    assert after.state.codes == [TroubleCode(168, 1)]
    with pytest.raises(ValueError, match=r"Line 1 \('code'\): There is no FMI 77"):
        list(follow(Consultation(BOOK), lines(json.dumps({"id": "code", "value": "168 77"}))))


@pytest.mark.parametrize("line", ["why code", "why code 677 5", "why spn 677 fmi 5", "why SPN 677/5"])
def test_why_explains_a_code_with_its_source(line: str) -> None:
    driver = entered(JobDriver("a job", begun()), "code 677 5")
    told, more = said(driver.enter(line)), said(driver.enter(line.replace("why", "why more")))
    entry = BOOK.codes["start_relay_open"]
    for words in ("SPN 677, start relay; FMI 5, current low", entry.says, entry.because):
        assert words in told
        assert words in more
    assert entry.source not in told
    assert entry.source in more


def test_why_a_fault_is_suspected_names_the_code_that_shifts_it() -> None:
    driver = entered(JobDriver("a job", begun()), "code 677 5")
    told = said(driver.enter("why start_relay.coil_open"))
    assert "Trouble code SPN 677, start relay; FMI 5" in told
    assert "makes it more likely" in told
    assert "odds times 4" in said(driver.enter("why more start_relay.coil_open"))
    assert "No trouble code has been given." in said(JobDriver("a job", begun()).enter("why code"))
    assert "does not know it" in said(driver.enter("why code 9 9"))


def test_codes_alone_are_no_verdict() -> None:
    """All that the book knows, given at once: without a reading at the machine nothing is blamed."""
    consultation = begun()
    for code in BOOK.codes.values():
        consultation = consultation.code(f"{code.spn} {code.fmis[0]}")
    assert consultation.verdict.status == "open"


def test_the_verdict_shows_what_a_controller_said() -> None:
    """Beside the evidence, for whoever reads the page of the repair."""
    now = next(now for now in JOB.after if now.next and now.next.kind == "repair")
    assert "A controller says" not in str(JobDriver("a job", now).page())
    page = JobDriver("a job", now.code("677 5")).page()
    shown = [block.text for block in page.blocks if isinstance(block, Text) and block.label == "A controller says"]
    assert shown == ["SPN 677, start relay; FMI 5, current low, or the circuit is open"]


def test_every_code_of_the_book_reads_aloud() -> None:
    """Words for how it is wrong, a sentence of what was seen, and no shift beyond what a code can tell."""
    assert len({(code.spn, fmi) for code in BOOK.codes.values() for fmi in code.fmis}) >= 12
    for code in BOOK.codes.values():
        assert code.says.endswith("."), code.id
        assert all(0.25 <= shift.factor <= 4 for shift in code.shifts), code.id
