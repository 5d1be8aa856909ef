"""What is typed is taken as it was meant, or asked about: words, names, readings at any prompt, lines of a file."""

from __future__ import annotations

import io
from functools import cache
from itertools import count

import pytest

from coldiron import Consultation
from coldiron.book.checks import UNITS
from coldiron.job.danger_fold import values_said
from coldiron.job.dangers import told_by
from coldiron.jobs.log import Entry
from coldiron.readings.refusal import AnswerError
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Reply, Text
from coldiron.screens.plain import run
from support.mechanic import shipped
from support.rows import id_of

BOOK = shipped()


@cache
def opened(circuit: str = "start_relay") -> JobDriver:
    """A job once its kit is told."""
    driver = JobDriver("a job", Consultation(BOOK))
    complaints = [c for c in BOOK.complaints if c == "silent"] or list(BOOK.complaints)
    for line in ("none", f"{BOOK.circuits[circuit].volts} V", circuit, complaints[0], "all"):
        driver = moved(driver, line if accepts(driver, line) else "not sure")
    return driver


def accepts(driver: JobDriver, line: str) -> bool:
    return isinstance(driver.enter(line), JobDriver)


def moved(driver: JobDriver, *lines: str) -> JobDriver:
    for line in lines:
        after = driver.enter(line)
        assert isinstance(after, JobDriver), (line, said(after))
        driver = after
    return driver


def said(step: JobDriver | Reply) -> str:
    blocks = step.blocks if isinstance(step, Reply) else step.page().blocks
    return "\n".join(block.text for block in blocks if isinstance(block, Text))


def at_a_reading(driver: JobDriver) -> JobDriver:
    """The job at its first question for a figure, everything before it acknowledged or skipped."""
    for _ in range(30):
        asked = driver.consultation.next
        assert asked is not None
        if asked.unit:
            return driver
        story = [choice for choice in asked.choices if choice != "not sure"] if asked.kind == "intake" else []
        driver = moved(driver, "skip" if asked.kind == "check" else story[-1] if story else asked.choices[0])
    raise AssertionError("no question for a figure came")


def first() -> JobDriver:
    return JobDriver("a job", Consultation(BOOK))


def test_a_choice_goes_before_a_word() -> None:
    """`cannot` and `done` are words of the key bar, and choices of a page that says what to do now."""
    driver = moved(first(), "smoke")
    asked = driver.consultation.next
    assert asked is not None
    assert asked.kind == "now"
    for choice in asked.choices:
        assert id_of(moved(driver, choice).consultation.steps[-1]) == asked.id


def test_a_job_of_nothing_but_skips_comes_to_its_end() -> None:
    """Whatever is skipped, at its page or at a setting before it, is not asked for again and again."""
    driver = moved(opened(), "skip")
    for _ in range(200):
        if driver.consultation.next is None:
            return
        driver = moved(driver, "skip")
    raise AssertionError(driver.consultation.next)


@pytest.mark.parametrize("line", ["n", "no", "e", "none, raised", "raised,none", "a"])
def test_too_little_or_too_much_is_asked_about(line: str) -> None:
    """A letter never stands for "everything is well", and that never goes with something that is not."""
    assert isinstance(first().enter(line), Reply)


def test_whole_words_are_taken() -> None:
    for line in ("none", "everything is down, level, braked and quiet", "7", "raised, slope"):
        assert accepts(first(), line), line


@pytest.mark.parametrize(
    ("line", "word"),
    [
        *((line, "park") for line in ("quit", "exit", "q", "bye", "stop", "Stop.")),
        ("undo", "back"),
        *((line, "cannot reach") for line in ("can't reach", "can\u2019t reach", "cant reach")),
        *((line, "not sure") for line in ("don't know", "dont know", "dunno", "no idea", "No idea!")),
    ],
)
def test_a_word_is_taken_as_it_is_meant(line: str, word: str) -> None:
    """What people say does what the word of the prompt does."""
    driver = at_a_reading(opened())
    assert moved(driver, line).consultation.steps == moved(driver, word).consultation.steps


@pytest.mark.parametrize("line", ["not there", "n/a", "N/A"])
def test_not_there_is_not_fitted(line: str) -> None:
    driver = at_a_reading(opened())
    assert said(driver.enter(line)) == said(driver.enter("not fitted"))


@pytest.mark.parametrize(("line", "meant"), [("12.6mV", "12.6 V"), (".9", "figure before the point")])
def test_a_likely_slip_is_asked_about_once(line: str, meant: str) -> None:
    """Millivolts at the posts, and a figure without its beginning; typed again it stands."""
    driver = moved(opened(), "rest_volts 12.5")
    doubted = driver.enter(f"rest_volts {line}")
    assert isinstance(doubted, JobDriver)
    assert meant in said(doubted)
    assert doubted.consultation.findings["rest_volts"] == driver.consultation.findings["rest_volts"]
    assert moved(doubted, f"rest_volts {line}").consultation.state.present.taken["rest_volts"].raw == line


def test_a_limit_is_asked_for_once_more_and_then_stands() -> None:
    """What it leaves open is told; the figure settles it, and who skips leaves it as it was."""
    driver = moved(opened(), "rest_volts 12.4 falling to 11")
    taken = driver.consultation.state.present.taken["rest_volts"]
    assert len(taken.understood.cover) > 1
    assert "rest_volts" not in driver.consultation.findings
    asked = driver.consultation.next
    while asked is not None and asked.kind == "caution":
        driver = moved(driver, asked.choices[0])
        asked = driver.consultation.next
    assert asked is not None
    assert asked.id == "rest_volts"
    assert "The exact figure tells which" in asked.why
    skipped = moved(driver, "skip").consultation
    assert skipped.state.present.taken["rest_volts"] == taken
    assert skipped.next is None or skipped.next.id != "rest_volts"
    assert moved(driver, "12.5").consultation.findings["rest_volts"]


def test_a_limit_ends_no_danger_and_may_hide_one() -> None:
    """What it covers of danger stands until the figure says otherwise."""
    state = told_by(opened().consultation.state)
    assert values_said(state, "dead_side_ohms.main_link", "less than 10") == {"short", "clear"}
    assert values_said(state, "dead_side_ohms.main_link", "over 10") == {"clear"}
    assert values_said(state, "dead_side_ohms.main_link", "under 5") == {"short"}


def test_a_limit_speaks_for_all_it_covers() -> None:
    """Its odds lie between those of the findings that it covers."""
    texts = ("11.0", "12.4 falling to 11", "12.6")
    shares = [dict(moved(opened(), f"rest_volts {text}").consultation.suspects)["battery.flat"] for text in texts]
    assert shares[0] > shares[1] > shares[2]


def test_again_takes_the_latest_reading_once_more() -> None:
    """A slip in one reading is told by the other: two that differ leave the odds between them; the latest is shown."""
    once = moved(opened(), "rest_volts 11.0")
    driver = moved(once, "again")
    asked = driver.consultation.next
    assert asked is not None
    assert "rest_volts" in (asked.id, asked.step)
    while driver.consultation.next and driver.consultation.next.kind == "caution":
        driver = moved(driver, driver.consultation.next.choices[0])
    other, same = moved(driver, "12.6"), moved(driver, "11.1")
    assert other.consultation.findings["rest_volts"] != once.consultation.findings["rest_volts"]
    flat = [dict(now.consultation.suspects)["battery.flat"] for now in (same, once, other)]
    assert min(flat[:2]) > flat[2]
    assert moved(once, "again", "back").consultation.next == once.consultation.next
    assert isinstance(opened().enter("again"), Reply)


def test_a_reading_before_the_machine_is_known_is_kept_and_used() -> None:
    """From the first page on, by name or in words; judged by the machine's own volts once they are known."""
    by_name, in_words = (moved(first(), line) for line in ("rest_volts 12.4", "battery volts at rest 12.4 V"))
    assert id_of(by_name.consultation.steps[0]) == id_of(in_words.consultation.steps[0]) == "rest_volts"
    found = {}
    for circuit in ("start_relay", "isolator_24", "series_start"):
        volts = f"{BOOK.circuits[circuit].volts} V"
        now = moved(by_name, "none", volts, circuit).consultation
        if now.setup and "rest_volts" in now.setup.machine.checks:
            found[circuit] = now.findings.get("rest_volts")
    assert found["start_relay"] == opened().enter("rest_volts 12.4").consultation.findings["rest_volts"]  # type: ignore[union-attr]
    assert len(found) < 2 or len(set(found.values())) > 1
    assert "of what?" in said(first().enter("12.4 V"))


@pytest.mark.parametrize("circuit", BOOK.circuits)
def test_names_are_found_on_every_machine(circuit: str) -> None:
    """A part alone asks which of its faults; a fault of the machine is found; another leads to what is near it."""
    driver = opened(circuit)
    asked = driver.enter("done battery")
    assert isinstance(asked, Reply)
    assert "battery" in said(asked)
    assert "fits several" in said(asked)
    assert "cable" not in said(asked)
    setup = driver.consultation.setup
    assert setup is not None
    if "main_link.blown" in setup.machine.faults:
        assert id_of(moved(driver, "done main link blown").consultation.steps[-1]) == "main_link.blown"
        assert "the main link: blown" in said(driver.enter("why main link blown"))
    else:
        for word in ("done", "why"):
            assert "Closest" in said(driver.enter(f"{word} main link blown"))


def acknowledged(*lines: str) -> list[Entry]:
    """What lines of a file acknowledge."""
    saved: list[Entry] = []
    run(first(), saved.extend, io.StringIO("".join(f"{line}\n" for line in lines)), io.StringIO())
    return [entry for entry in saved if entry.kind == "ack"]


@pytest.mark.parametrize(
    ("typed", "check"),
    [
        ("battery plus post to starter battery stud 0.3", "plus_path_drop"),
        ("starter case to battery minus post 0.2", "ground_path_drop"),
        ("frame to battery minus post 0.2", "frame_drop"),
    ],
)
def test_words_of_another_dialect_are_taken_for_the_book_s(typed: str, check: str) -> None:
    """Whoever says plus, minus, lamp or isolator means what the book calls otherwise."""
    from coldiron.readings.in_words import in_words

    assert in_words(BOOK.checks.values(), typed) == (check, typed.rsplit(" ", 1)[1])


def test_choices_and_names_are_found_by_another_dialect() -> None:
    """A choice by how it begins, a fault by its part; what is refused is quoted as it was typed."""
    from coldiron.consult.naming import _fitting
    from coldiron.readings.choosing import choose

    choices = [("lights", "lights normal, and nothing happens at START"), ("dead", "nothing at all")]
    assert choose("lamps normal", choices) == "lights"
    with pytest.raises(AnswerError, match="lamps green"):
        choose("lamps green", choices)
    faults = [
        ("isolator.off", "the battery disconnect switch: just switched off"),
        ("battery.flat", "the battery: flat"),
    ]
    assert _fitting(faults, "battery isolator") == ["isolator.off"]


@pytest.mark.parametrize("typed", ["n", "no", "N", "y"])
def test_a_plain_yes_or_no_is_the_beginning_of_no_other_word(typed: str) -> None:
    """Nobody who types n at a page of choices has said that nobody sits on the seat; a choice that says no is meant."""
    from coldiron.readings.choosing import choose

    controls = [(finding.id, finding.meaning) for finding in BOOK.checks["controls_look"].findings]
    assert any(meaning.startswith("no") for _, meaning in controls)
    with pytest.raises(AnswerError, match="is none of the choices"):
        choose(typed, controls)
    plain = [("out", "yes, nobody is in it"), ("in", "no, somebody is")]
    assert choose(typed, plain) == ("out" if typed == "y" else "in")
    assert choose("nob", controls) == "seat"


def test_a_line_of_a_file_names_its_caution() -> None:
    """A bare word acknowledges nothing, nor does the name of another caution; the name of this one does."""
    due = moved(first(), "raised").consultation.next
    assert due is not None
    assert due.kind == "caution"
    word = due.choices[0]
    assert acknowledged("raised", word, word, f"battery_gas {word}") == []
    assert [entry.id for entry in acknowledged("raised", f"{due.id} {word}")] == [f"{due.id}@"]


def test_a_line_that_was_there_before_its_page_acknowledges_nothing() -> None:
    """At a terminal too: what was pasted is read the moment the page stands."""

    class Pasted(io.StringIO):
        def isatty(self) -> bool:
            return True

    due = moved(first(), "raised").consultation.next
    assert due is not None
    for step, wanted in ((0.01, []), (5.0, [f"{due.id}@"])):
        clock = count(0.0, step)
        saved: list[Entry] = []
        source = Pasted(f"raised\n{due.choices[0]}\n")
        run(first(), saved.extend, source, io.StringIO(), clock.__next__)
        assert [entry.id for entry in saved if entry.kind == "ack"] == wanted


def test_every_measured_check_of_the_book_can_be_kept() -> None:
    """Before anything is known of the machine."""
    for check in BOOK.checks.values():
        if check.reads.quantity in UNITS:
            assert accepts(first(), f"{check.id} less than 3"), check.id
