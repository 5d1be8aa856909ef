"""What an owner tells in his own words: it is asked, never taken as said."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coldiron import AnswerError, Consultation
from coldiron.book.history import COMPLAINT
from coldiron.readings.heard import heard
from coldiron.screens.driver import JobDriver
from support import shop
from support.mechanic import shipped

BOOK = shipped()
PHRASES = [
    (asked.id, answer.id, phrase)
    for asked in BOOK.questions.values()
    for answer in asked.answers
    for phrase in answer.hears
]
BEGUN = shop.begin("interlocks", "silent")


def standing(now: Consultation) -> set[str]:
    """The dangers that stand."""
    return {one.danger.id for one in now.judged.dangers} if now.judged else set()


def said(phrase: str) -> str:
    """A phrase as it may be said, with a word where words may stand between."""
    return f"Well, {phrase.replace(' .. ', ' and then ')}, he says."


@pytest.mark.parametrize("name", sorted({name for name, _, _ in PHRASES}))
def test_every_phrase_of_the_book_is_heard_where_it_stands(name: str) -> None:
    """And nothing is heard of it where it is denied in plain words."""
    for asked, _, phrase in PHRASES:
        if asked == name:
            assert name in heard(BOOK, said(phrase)), phrase
            first = phrase.split()[0]
            if first not in ("no", "not", "didn't"):
                assert name not in heard(BOOK, f"There was never {phrase.replace(' .. ', ' and ')}"), phrase


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from(PHRASES), min_size=1, max_size=3))
def test_words_alone_move_nothing(phrases: list[tuple[str, str, str]]) -> None:
    """Odds and cautions stay as they were until the question is answered; the words are kept."""
    text = " ".join(said(phrase) for _, _, phrase in phrases)
    now = BEGUN.answer("told", text)
    assert now.next is not None
    assert now.next.id in {asked for asked, _, _ in phrases} | set(heard(BOOK, text))
    assert now.suspects == BEGUN.suspects
    assert now.state.notes == [f"Told: {text}"]
    assert now.state.questions == BEGUN.state.questions


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(PHRASES))
def test_what_is_confirmed_counts_as_what_is_asked(phrase: tuple[str, str, str]) -> None:
    """The same odds, dangers and cautions by either way; `not sure` leaves all as it was."""
    name, answer, words = phrase
    assume(set(heard(BOOK, said(words))) == {name})
    now = BEGUN.answer("told", said(words))
    assert now.next is not None
    assert now.next.id == name
    assert now.next.why.startswith("You said")
    told, plain = now.answer(name, answer), BEGUN.answer(name, answer)
    assert told.suspects == plain.suspects
    assert told.next == plain.next
    assert standing(told) == standing(plain)
    assert now.answer(name, "not sure").suspects == BEGUN.suspects


def test_a_flood_that_is_told_bars_the_start_once_it_is_confirmed() -> None:
    """As it does where the question is put first."""
    now = BEGUN.answer("told", "It was under water last week").answer("water", "flooded")
    asked = BEGUN.answer("water", "flooded")
    assert now.next == asked.next
    assert standing(now) == standing(asked) == {"water_in_engine"}


def test_it_is_told_before_anything_else_of_the_machine() -> None:
    """Right after how it stands, at the complaint, or later; the same is asked, and the opening goes on."""
    now = Consultation(BOOK).answer("raised", "none").answer("told", "Somebody welded a bracket on")
    assert now.next is not None
    assert now.next.id == "near_loom"
    assert "welding" in now.next.why
    assert "brackets" in now.next.why  # of several answers all are named
    now = now.answer("near_loom", "welding,screws")
    while now.next is not None and now.next.kind == "caution":
        now = now.answer(now.next.id, now.next.choices[0])
    assert now.next is not None
    assert now.next.id == "usual"


def test_what_no_question_is_about_is_refused_and_so_is_what_was_answered() -> None:
    with pytest.raises(AnswerError, match="No open question"):
        BEGUN.answer("told", "My brother paints barns.")
    with pytest.raises(AnswerError, match="No open question"):
        BEGUN.answer("rodents", "none").answer("told", "There are mice in the shed.")
    with pytest.raises(AnswerError, match="No open question"):
        BEGUN.answer("told", "It is stone dead.")  # the complaint was chosen


def test_it_is_taken_back_like_any_answer() -> None:
    now = BEGUN.answer("told", "It was washed on Friday").back()
    assert now.state.heard == {}
    assert now.next == BEGUN.next


def test_at_the_prompt_a_sentence_is_enough() -> None:
    """Typed at the complaint, with `told` before it or without."""
    job = Consultation(BOOK).answer("raised", "none").answer("volts", "12").answer("circuit", "interlocks")
    for line in ("told we washed it Friday", "we washed it Friday"):
        driver = JobDriver("a job", job).enter(line)
        assert isinstance(driver, JobDriver)
        assert driver.consultation.next is not None
        assert driver.consultation.next.id == "water"
        assert any("we washed it Friday" in said for said in driver.said)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("The gearbox was out", "new_parts"),
        ("A lamp was fitted", "new_parts"),
        ("It is on hire", "whose_key"),
        ("It was hired out", "whose_key"),
        ("The lamps flickered", "worked_before"),
        ("A lamp was left on", "left_on"),
        ("The isolator was off", "left_on"),
        ("The charge lamp was on", "charge_lamp_long"),
        ("It came on a low loader", "moved"),
        ("He turned the isolator with it running", "struck_by"),
    ],
)
def test_another_dialect_is_heard_as_the_words_of_the_book(text: str, name: str) -> None:
    """Common practice, no source: the book says each thing in one word, and an owner in his own."""
    assert name in heard(BOOK, text)


@pytest.mark.parametrize("name", BOOK.complaints)
def test_what_it_does_is_heard_too(name: str) -> None:
    """Of each phrase, if not alone: a person may say two things at once."""
    for phrase in BOOK.complaints[name].hears:
        assert COMPLAINT in heard(BOOK, said(phrase)), phrase
    assert any(heard(BOOK, said(phrase))[COMPLAINT].meaning == BOOK.complaints[name].name for phrase in _hears(name))


def _hears(name: str) -> tuple[str, ...]:
    return BOOK.complaints[name].hears


def test_what_it_does_is_chosen_all_the_same() -> None:
    """The page says what the words may be; nothing is taken for the complaint before it is chosen."""
    job = Consultation(BOOK).answer("raised", "none").answer("volts", "12").answer("circuit", "start_relay")
    now = job.answer("told", "It clicks like a machine gun")
    assert now.next is not None
    assert now.next.id == COMPLAINT
    assert "'machine gun'. That may be the first of these." in now.next.text
    assert now.next.meanings[0] == BOOK.complaints["chatter"].name
    assert now.state.complaint == ""
    assert now.answer(COMPLAINT, "silent").state.complaint == "silent"
