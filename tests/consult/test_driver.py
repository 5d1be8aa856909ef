"""One typed line at a time: every word at every kind of question, and what the screen is told."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import Consultation
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import ALL_WORDS, Page, Reply, Suspects, Text, take
from coldiron.screens.replay import keep_nothing
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("interlocks", "main_link.blown", "cab_feed.chafed")
PLACES = st.deferred(lambda: st.integers(0, len(JOB.after) - 1))
KINDS = ("intake", "check", "caution", "repair", "proof")


def at(kind: str) -> JobDriver:
    """The job when it first asks something of a kind."""
    return JobDriver("a job", next(now for now in JOB.after if now.next and now.next.kind == kind))


def opened(complaint: str = "silent", circuit: str = "start_relay") -> JobDriver:
    driver = JobDriver("a job", Consultation(BOOK))
    for line in ("none", "12 V", circuit, complaint, "all"):
        driver = moved(driver, line)
    return driver


def moved(driver: JobDriver, line: str) -> JobDriver:
    after = driver.enter(line)
    assert isinstance(after, JobDriver), said(after)
    return after


def said(reply: JobDriver | Reply) -> str:
    blocks = reply.blocks if isinstance(reply, Reply) else reply.page().blocks
    return "\n".join(block.text for block in blocks if isinstance(block, Text))


@pytest.mark.parametrize("word", ALL_WORDS)
def test_each_word_of_the_key_bar_is_a_word_that_is_taken(word: str) -> None:
    """One word, and never answered like something that is no word here."""
    driver = at("check")
    nonsense = said(driver.enter("no such word at all"))
    assert word.isalpha()
    assert said(driver.enter(word)).replace(word, "") != nonsense.replace("no such word at all", "")


@settings(max_examples=150)
@given(
    PLACES,
    st.sampled_from(ALL_WORDS)
    | st.tuples(st.sampled_from(ALL_WORDS), st.text(max_size=10)).map(" ".join)
    | st.sampled_from(["why battery", "what rest_volts", "change 1", "change 2 2", "change 99 1", "not", "cannot", "1"])
    | st.text(max_size=20),
)
def test_any_line_at_any_moment_gives_a_page_or_a_reply(place: int, line: str) -> None:
    """Nothing that can be typed ends in an error, and the same line gives the same again."""
    driver = JobDriver("a job", JOB.after[place])
    for _ in range(2):
        after = take(driver, line, keep_nothing)
        assert isinstance(after, Reply) or isinstance(after.page(), Page)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("word", ["why", "what", "help", "change"])
def test_words_that_ask_change_nothing(kind: str, word: str) -> None:
    """`why`, `what`, `change` without a value and `help` reply with sentences and leave the job as it is."""
    driver = at(kind)
    reply = driver.enter(word)
    assert isinstance(reply, Reply)
    assert said(reply).strip()


@pytest.mark.parametrize("kind", KINDS)
def test_back_note_and_park_serve_everywhere(kind: str) -> None:
    """They work at every kind of question once something has been answered."""
    driver = JobDriver("a job", JOB.after[0]) if kind == "intake" else at(kind)
    driver = moved(driver, "none") if kind == "intake" else driver
    assert moved(driver, "note the fan belt is new").consultation.state.notes == ["the fan belt is new"]
    parked = moved(driver, "park")
    assert parked.parked
    assert parked.page().prompt is None
    back = moved(driver, "back")
    assert len(back.consultation.steps) == len(driver.consultation.steps) + 1


@pytest.mark.parametrize("kind", ["check", "proof", "repair"])
@pytest.mark.parametrize("words", ["skip", "cannot reach", "not sure"])
def test_what_cannot_be_answered_is_passed_over(kind: str, words: str) -> None:
    """A check, a proof or a repair is passed over, and another thing is asked."""
    driver = at(kind)
    after = moved(driver, words)
    assert after.consultation.next != driver.consultation.next


@pytest.mark.parametrize("words", ["skip", "cannot reach", "not sure"])
def test_what_cannot_be_done_needs_no_false_acknowledgement(words: str) -> None:
    """At a caution the step behind it can be passed over; nothing is acknowledged, no setting moves."""
    driver = at("caution")
    asked = driver.consultation.next
    assert asked
    after = moved(driver, words)
    assert after.consultation.state.acks.held == driver.consultation.state.acks.held
    assert after.consultation.state.settings == driver.consultation.state.settings
    assert asked.step in after.consultation.state.present.taken
    assert after.consultation.next
    assert asked.step not in (after.consultation.next.id, after.consultation.next.step)


def test_a_repair_is_turned_down_without_its_caution() -> None:
    """`skip` at the preparation of a repair turns the repair down."""
    now = next(now for now in JOB.after if now.next and now.next.kind == "caution" and now.next.step in BOOK.faults)
    assert now.next
    after = moved(JobDriver("a job", now), "skip")
    assert after.consultation.state.declined == {now.next.step}


def test_a_caution_is_never_passed_over() -> None:
    """done, yes, a number and Enter are refused at a caution, and `skip` at one that stands before everything."""
    danger = JobDriver("a job", Consultation(BOOK).answer("raised", "raised"))
    refused = danger.enter("skip")
    assert isinstance(refused, Reply)
    assert "cannot be skipped" in said(refused)
    typed = next(now for now in JOB.after if now.next and now.next.kind == "caution" and not now.next.brief)
    driver = JobDriver("a job", typed)
    for line in ("done", "yes", "1"):
        reply = driver.enter(line)
        assert isinstance(reply, Reply)
        assert reply.refused
    assert take(driver, "", keep_nothing) == Reply(())


def test_enter_alone_never_reaches_the_job() -> None:
    """A blank line changes nothing at any moment of a whole job."""
    for now in JOB.after:
        assert take(JobDriver("a job", now), "  \t ", keep_nothing) == Reply(())


def test_an_implausible_value_is_kept_when_it_is_typed_again() -> None:
    """Once questioned, the same line again is taken; another line drops the doubt."""
    driver = opened()
    doubted = moved(driver, "rest_volts 125")
    assert doubted.consultation.steps == driver.consultation.steps
    assert "type it again" in said(doubted)
    assert moved(doubted, "rest_volts 125").consultation.findings["rest_volts"] == "odd"
    other = moved(moved(doubted, "rest_volts 12.6"), "change rest_volts 125")
    assert other.consultation.findings["rest_volts"] != "odd"
    assert moved(other, "change rest_volts 125").consultation.findings["rest_volts"] == "odd"


def test_change_lists_the_answers_in_words_and_takes_their_numbers() -> None:
    """Every answer stands in the list with what was asked; its number and a new value change it."""
    driver = moved(opened(), "rest_volts 12.6")
    listed = said(driver.enter("change"))
    number = next(line.split()[0] for line in listed.splitlines() if "Battery volts at rest" in line)
    assert "_" not in listed
    after = moved(driver, f"change {number} 11.1")
    assert after.consultation.state.present.taken["rest_volts"].raw == "11.1"
    assert len(after.consultation.steps) == len(driver.consultation.steps) + 1
    refused = driver.enter("change 99 1")
    assert isinstance(refused, Reply)
    assert refused.refused


def test_an_early_answer_changed_says_what_was_withdrawn_and_why() -> None:
    """A changed complaint tells which conclusions fell, which suspects moved, and that another step comes now."""
    driver = moved(opened("no_power", "interlocks"), "rest_volts 12.6")
    after = moved(driver, "change complaint slow_crank")
    told = " ".join(after.said)
    assert "before," in told
    assert "now." in told


def test_a_repair_of_ones_own_is_named_by_its_words() -> None:
    """`done` with some words of a fault is that repair: its cautions come next, then the repair itself."""
    driver = moved(opened("chatter"), "frost mild")  # what stands before every charge
    after = moved(driver, "done battery.flat")
    asked = after.consultation.next
    assert asked
    assert (asked.kind, asked.step) == ("caution", "battery.flat")
    assert "Read the cautions" in said(after)
    while asked is not None and asked.kind == "caution":
        after = moved(after, asked.choices[0])
        asked = after.consultation.next
    assert asked
    assert (asked.kind, asked.id) == ("repair", "battery.flat")
    assert moved(after, "done").consultation.state.epochs[0].repaired == "battery.flat"
    bare = driver.enter("done")
    assert isinstance(bare, Reply)
    assert bare.refused


def test_words_that_fit_several_things_name_them() -> None:
    """`why battery volts` lists the checks that fit, with the names that can be typed."""
    reply = opened().enter("why volts battery post")
    assert "rest_volts" in said(reply)


def test_what_is_not_committed_is_told_apart() -> None:
    """Entries are unsaved until they are said to be saved; only then does the page say so."""
    driver = moved(JobDriver("a job", Consultation(BOOK)), "none")
    assert [entry.id for entry in driver.unsaved] == ["raised"]
    assert "Saved" not in str(driver.page().blocks)
    assert driver.saved().unsaved == ()
    assert "Saved (1)." in str(driver.saved().page().blocks)


def test_a_job_without_an_answer_is_not_kept() -> None:
    """Parking before the first answer saves nothing and takes leave."""
    parked = moved(JobDriver("a job", Consultation(BOOK)), "park")
    assert parked.unsaved == ()
    assert parked.page().prompt is None


def test_over_means_that_nothing_more_can_be_answered() -> None:
    """After the hand-back a page without a prompt says what was repaired."""
    driver = JobDriver("a job", JOB.end)
    assert driver.page().prompt is None
    assert "the main link: blown" in said(driver)


def test_suspects_stay_in_view() -> None:
    """From the first judged question on, every page but a preparation shows the suspects."""
    for now in JOB.after:
        if now.next is None or not now.suspects or now.next.kind == "caution":
            continue
        if now.suspects[0][1] >= 0.005:
            assert any(isinstance(block, Suspects) for block in JobDriver("a job", now).page().blocks)
