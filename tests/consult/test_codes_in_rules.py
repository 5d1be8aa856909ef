"""Rules that ask for trouble codes: they fire, share the topic of the code, and are told in words."""

from __future__ import annotations

from coldiron.audit import audit
from coldiron.book.book import Book
from coldiron.circuits import compose
from coldiron.consult.fold import replay
from coldiron.job.steps import ReadingStep
from coldiron.ruling.grounding import Grounding, SessionFacts, ground
from coldiron.telling.conclusions import in_words
from support import rule_text

RULES = """rule code_again
  when     code volts_low
  then     likelier battery.flat times 8
  because  The same thing said twice.
  source   common practice

rule it_talks
  when     controller talks
  then     forbid look_at.feed_wire
  because  It has a feed.
  source   common practice

rule it_is_mute
  when     not controller talks
  and      not code volts_low
  then     allow look_at.ground_wire
  because  Nothing speaks.
  source   common practice
"""


def grounded() -> tuple[Book, Grounding]:
    book, problems = rule_text.on_ground(RULES)
    assert problems == ()
    return book, ground(compose(book, "lamp_12"))


def test_rules_fire_on_the_codes_given_and_on_a_controller_that_talks() -> None:
    _, lamp = grounded()
    silent, talks = lamp.direct(SessionFacts()), lamp.direct(SessionFacts(talks=True))
    assert (silent.opened, silent.closed) == (("look_at.ground_wire",), ())
    assert (talks.opened, talks.closed, talks.shifts) == ((), ("look_at.feed_wire",), {})


def test_a_rule_about_a_code_shares_its_topic_so_nothing_counts_twice() -> None:
    """Times 3 by the entry, times 8 by a rule on the same code: times 8, not 24."""
    _, lamp = grounded()
    directives = lamp.direct(SessionFacts(codes=("volts_low",), talks=True))
    assert directives.shifts == {"battery.flat": 8.0}
    assert {(shift.topic, shift.source) for shift in directives.shifted} == {("standing", "code_again")}


def test_a_code_competes_with_the_answers_of_its_topic() -> None:
    """The stronger of what the owner said and what the controller said, not both."""
    book, _ = rule_text.on_ground("")
    lamp = ground(compose(book, "lamp_12"))
    said = lamp.direct(SessionFacts(history={"stood": ("months",)})).shifts["battery.flat"]
    told = lamp.direct(SessionFacts(codes=("volts_low",), talks=True)).shifts["battery.flat"]
    both = lamp.direct(SessionFacts(history={"stood": ("months",)}, codes=("volts_low",), talks=True))
    assert both.shifts["battery.flat"] == max(said, told)


def test_what_a_controller_says_is_told_in_words() -> None:
    book, _ = grounded()
    state = replay(book, ())
    assert in_words(state, ("talks", "")) == "a controller talks"
    assert in_words(state, ("code", "volts_low")) == (
        "trouble code, battery volts: Too few volts when the controller looked"
    )


def test_a_log_with_a_code_that_does_not_read_still_opens() -> None:
    """As any answer that a newer book, or another hand, has made meaningless."""
    book, _ = grounded()
    state = replay(book, (ReadingStep("code.1", "two words"), ReadingStep("code.2", "168/17")))
    assert [str(code) for code in state.codes] == ["168/17"]


def test_a_shift_by_one_is_a_warning_in_a_code_too() -> None:
    text = rule_text.GROUND.read_text(encoding="utf-8").replace(
        "  topic   standing\n  likelier battery.flat times 3\n  because A flat",
        "  topic   standing\n  likelier battery.flat times 1\n  because A flat",
    )
    book, problems = rule_text.load_texts(text)
    assert problems == ()
    assert [(problem.kind, problem.place) for problem in audit(book)] == [("times-one", book.codes["volts_low"].place)]
