"""The book's rules on a machine: which apply, what they ask of the consultation, who wins where they disagree."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldiron import engine
from coldiron.book.book import Book
from coldiron.book.faults import FaultRef
from coldiron.circuits import compose
from coldiron.language.load import load
from coldiron.ruling.directives import Advice, Derived, Shifted
from coldiron.ruling.grounding import Grounding, SessionFacts, ground, rules_of
from coldiron.ruling.instances import Writer
from support import rule_text

EXPERIENCE = Path(rule_text.__file__).with_name("experience.rules").read_text(encoding="utf-8")
law = settings(deadline=None, max_examples=100)


def sound(text: str) -> Book:
    book, problems = rule_text.on_ground(text)
    assert problems == ()
    return book


BOOK = sound(EXPERIENCE)
LAMP = ground(compose(BOOK, "lamp_12"))
BARE = ground(compose(BOOK, "bare_12"))


def read(values: Mapping[str, float], **findings: str) -> SessionFacts:
    return SessionFacts(values=values, findings=findings, taken=frozenset({*values, *findings}))


def test_a_reference_names_the_faults_the_machine_has() -> None:
    """One fault, a part, one fault of a kind, a kind; nothing that is not there."""
    assert LAMP.named(FaultRef(part="feed_wire", fault="broken")) == ("feed_wire.broken",)
    assert LAMP.named(FaultRef(part="battery")) == ("battery.flat",)
    assert LAMP.named(FaultRef(kind="wire", fault="broken")) == ("feed_wire.broken", "ground_wire.broken")
    assert LAMP.named(FaultRef(kind="contact")) == ("key_contact.burnt",)
    assert BARE.named(FaultRef(kind="contact")) == BARE.named(FaultRef(part="lamp", fault="blown")) == ()


@pytest.mark.parametrize(
    ("values", "fact", "findings"),
    [
        ({"key_feed_volts": 12.0, "rest_volts": 12.6}, True, ["bad"]),
        ({"key_feed_volts": 12.3, "rest_volts": 12.6}, False, ["small"]),
        ({"key_feed_volts": 11.2, "rest_volts": 11.5}, False, ["none"]),
        ({"rest_volts": 12.6}, False, []),
        ({"key_feed_volts": 11.0}, False, []),
        ({"key_feed_volts": 12.4}, False, ["small"]),
    ],
)
def test_readings_are_compared_once_both_are_there(
    values: dict[str, float], findings: list[str], *, fact: bool
) -> None:
    """A missing reading holds back a comparison and its opposite; of several findings the worst in the list stands."""
    directives = LAMP.direct(read(values))
    assert directives.result.holds(("fact", "feed_lost")) is fact
    assert [derived.finding for derived in directives.derived] == findings


def test_a_derived_finding_silences_its_readings_about_the_faults_it_names() -> None:
    """Only the rules that gave the finding that stands have a say; faults the machine lacks are passed over."""
    directives = LAMP.direct(read({"key_feed_volts": 12.0, "rest_volts": 12.6}))
    feed_and_lamp = frozenset({"feed_wire.broken", "lamp.blown"})
    masks = (("key_feed_volts", feed_and_lamp), ("rest_volts", feed_and_lamp))
    assert directives.derived == (Derived("feed_loss", "bad", masks, ("feed_is_lost",)),)
    assert directives.because["finding", "feed_loss", "bad"] == ("feed_is_lost",)
    assert directives.because["finding", "feed_loss", "small"] == ("feed_nearly_whole",)


def test_a_finding_by_several_rules_joins_what_each_of_them_silences() -> None:
    book = sound(
        """
rule one
  for      W in wire
  when     rest_volts dead
  then     count look_at.feed_wire as bare in place of look_at.W for W
  because  Each for its own.
  source   common practice
"""
    )
    (derived,) = ground(compose(book, "lamp_12")).direct(read({}, rest_volts="dead")).derived
    assert derived.masks == (
        ("look_at.feed_wire", frozenset({"feed_wire.broken"})),
        ("look_at.ground_wire", frozenset({"ground_wire.broken"})),
    )
    assert derived.rules == ("one",)


def test_a_part_of_a_loop_stands_for_the_part_in_every_name() -> None:
    """In a comparison with a check of the part, too; checks that the machine lacks have no evidence to silence."""
    known = read({"rest_volts": 1.0, "drop_over.ground_wire": 2.1})
    masks = (("look_at.ground_wire", frozenset({"ground_wire.broken"})),)
    assert BARE.direct(known).derived == (Derived("look_at.ground_wire", "bare", masks, ("lost_in_one_wire",)),)
    with_key = (("key_feed_volts", frozenset({"ground_wire.broken"})), *masks)
    assert LAMP.direct(known).derived == (Derived("look_at.ground_wire", "bare", with_key, ("lost_in_one_wire",)),)


def test_a_loop_ranges_over_the_parts_before_or_after_a_part() -> None:
    """Before the key switch lies the feed wire, after the feed wire the key switch; texts name the part."""
    directives = LAMP.direct(read({"key_feed_volts": 11.0, "rest_volts": 12.6}))
    assert directives.preferred["look_at.feed_wire"] == (3.0, "look_along_the_feed")
    assert "look_at.ground_wire" not in directives.preferred
    assert directives.required == {
        "look_at.feed_wire": frozenset({"feed_wire.broken"}),
        "lamp_glow": frozenset({"key_contact.burnt"}),
    }
    assert directives.advice == (Advice("Follow the feed wire by hand.", "look_along_the_feed"),)


def test_a_veto_ends_when_its_check_is_taken_and_not_when_another_is() -> None:
    book = sound(
        """
rule wait
  when     rest_volts live
  then     require key_feed_volts before battery
  because  Full volts at rest prove nothing.
  source   common practice
"""
    )
    grounding = ground(compose(book, "lamp_12"))
    waiting = {"key_feed_volts": frozenset({"battery.flat"})}
    known = read({"rest_volts": 12.6}, rest_volts="live")
    assert grounding.direct(known).required == waiting
    assert grounding.direct(replace(known, taken=known.taken | {"lamp_glow"})).required == waiting
    assert grounding.direct(replace(known, taken=known.taken | {"key_feed_volts"})).required == {}


def test_a_derived_finding_also_ends_the_veto_on_its_check() -> None:
    book = sound(
        EXPERIENCE
        + """
rule wait_for_the_loss
  when     rest_volts taken
  then     require feed_loss before feed_wire
  because  It is the better reading.
  source   common practice
"""
    )
    grounding = ground(compose(book, "lamp_12"))
    assert "feed_loss" in grounding.direct(read({"rest_volts": 12.6})).required
    assert "feed_loss" not in grounding.direct(read({"rest_volts": 12.6, "key_feed_volts": 12.6})).required


def test_a_setting_that_is_left_closes_what_would_change_it_and_no_look() -> None:
    """What is measured with the key turned is closed; what is measured at OFF stays, and so does a look."""
    book = sound(
        EXPERIENCE
        + """
rule keep
  when     complaint dark
  then     leave key off
  because  It moves.
  source   common practice
"""
    )
    directives = ground(compose(book, "lamp_12")).direct(SessionFacts(complaint="dark"))
    turned = {name for name in LAMP.machine.checks if BOOK.checks[name].state.get("key", "off") != "off"}
    assert set(directives.closed) == turned != set()


def test_a_setting_that_is_avoided_closes_what_would_bring_it_there() -> None:
    """What is measured with the key at ON is closed, and nothing else; at its normal value, all that says nothing."""
    text = """
rule keep
  when     complaint dark
  then     avoid key {}
  because  It moves.
  source   common practice
"""
    for value in ("on", "off"):
        directives = ground(compose(sound(EXPERIENCE + text.format(value)), "lamp_12")).direct(
            SessionFacts(complaint="dark")
        )
        there = {name for name in LAMP.machine.checks if BOOK.checks[name].state.get("key", "off") == value}
        assert set(directives.closed) == there != set()


def test_what_one_rule_closes_stays_closed_though_another_opens_it() -> None:
    known = SessionFacts(complaint="dark", settings={"isolator": "off"})
    directives = LAMP.direct(known)
    assert directives.closed == ("lamp_glow", "rest_volts")
    assert directives.opened == ("key_feed_volts",)
    assert directives.because["forbid", "lamp_glow"] == ("keep_off_the_lamp",)
    assert directives.because["allow", "lamp_glow"] == ("try_the_lamp",)
    assert LAMP.direct(replace(known, settings={"isolator": "on"})).opened == ("key_feed_volts", "lamp_glow")


def test_of_preferences_the_strongest_counts_and_of_equal_ones_the_first_by_id() -> None:
    """A quarter and four times are equally strong; `long_stand` with its 2 is weaker."""
    known = SessionFacts(complaint="dark", history={"stood": ("months",)})
    assert LAMP.direct(known).preferred["rest_volts"] == (0.25, "a_tie_goes_to_the_first")
    assert LAMP.direct(replace(known, complaint="")).preferred["rest_volts"] == (2.0, "long_stand")


def test_within_a_topic_only_the_strongest_shift_of_a_fault_counts() -> None:
    """The answer shifts the battery by 4, and by 2; a rule that waits for the same question by 5."""
    story = SessionFacts(history={"jumped": ("twice",)})
    assert LAMP.direct(story).shifts == {"battery.flat": 4.0}
    assert LAMP.direct(story).shifted == (Shifted("battery.flat", "trouble", 4.0, "jumped"),)
    both = LAMP.direct(replace(story, findings={"rest_volts": "dead"}))
    assert both.shifted == (
        Shifted("battery.flat", "dead_is_flat", 3.0, "dead_is_flat"),
        Shifted("battery.flat", "trouble", 5.0, "jumped_and_flat"),
    )


def test_all_topics_together_stay_within_a_factor_of_ten() -> None:
    up = SessionFacts(history={"jumped": ("twice",), "stood": ("months",)}, findings={"rest_volts": "dead"})
    assert LAMP.direct(up).shifts["battery.flat"] == 10.0
    down = SessionFacts(history={"jumped": ("never",)})
    assert LAMP.direct(down).shifts == {"battery.flat": 0.2}
    book = replace(BOOK, rules={})
    questions = {
        name: replace(asked, topic=name, answers=tuple(replace(a, id="yes") for a in asked.answers[-1:]))
        for name, asked in {"jumped": BOOK.questions["jumped"], "again": BOOK.questions["jumped"]}.items()
    }
    grounding = ground(replace(compose(BOOK, "lamp_12"), book=replace(book, questions=questions)))
    twice = SessionFacts(history={"jumped": ("yes",), "again": ("yes",)})
    assert grounding.direct(twice).shifts == {"battery.flat": 0.1}


def test_a_shift_down_is_as_strong_as_the_same_shift_up() -> None:
    """A fifth outweighs four times."""
    known = SessionFacts(history={"jumped": ("twice", "never")})
    assert LAMP.direct(known).shifts == {"battery.flat": 0.2}


def test_what_has_a_finding_or_a_value_was_taken() -> None:
    directives = LAMP.direct(SessionFacts(findings={"lamp_glow": "bright"}, values={"rest_volts": 12.6}))
    assert directives.result.holds(("taken", "lamp_glow"))
    assert directives.result.holds(("taken", "rest_volts"))


def test_rules_on_one_question_share_its_topic_and_different_faults_do_not_compete() -> None:
    directives = LAMP.direct(SessionFacts(history={"stood": ("months",)}))
    assert directives.shifts == {
        "battery.flat": 5.0,
        "feed_wire.broken": 3.0,
        "ground_wire.broken": 3.0,
        "key_contact.burnt": 2.0,
    }
    assert {shift.topic for shift in directives.shifted} == {"standing"}


def test_an_answer_that_is_unknown_to_the_book_shifts_nothing() -> None:
    assert LAMP.direct(SessionFacts(history={"stood": ("weeks",), "never_asked": ("months",)})).shifts == {}


@pytest.mark.parametrize(
    ("repaired", "told"),
    [
        (set(), False),
        ({"feed_wire.broken"}, True),
        ({"ground_wire.broken"}, True),
        ({"lamp.blown"}, False),
        ({"feed_wire.broken", "battery.flat"}, False),
    ],
)
def test_a_repair_of_any_of_the_faults_named_will_do(repaired: set[str], *, told: bool) -> None:
    advice = LAMP.direct(SessionFacts(repaired=frozenset(repaired))).advice
    assert (Advice("Pull gently at every new joint.", "after_any_contact") in advice) is told


def test_a_reference_to_one_fault_asks_for_its_repair_directly() -> None:
    directives = LAMP.direct(SessionFacts(repaired=frozenset({"battery.flat"})))
    support = directives.result.support(("allow", "rest_volts"))
    assert support == engine.Support("battery_was_changed", (("repaired", "battery.flat"),), (), ())


def test_rules_ask_what_the_machine_has() -> None:
    assert LAMP.direct(SessionFacts()).warned == ("crank_area",)
    assert LAMP.direct(SessionFacts()).advice == ()
    assert BARE.direct(SessionFacts()).warned == ()
    assert BARE.direct(SessionFacts()).advice == (Advice("Nothing is fitted here.", "bare_machine"),)


def test_a_fact_concluded_is_a_condition_of_other_rules() -> None:
    directives = LAMP.direct(read({}, key_feed_volts="live"))
    assert directives.closed == ("look_at.feed_wire",)
    proof = engine.why(directives.result, ("forbid", "look_at.feed_wire"))
    assert proof is not None
    assert [step.support.rule for step in proof.steps if step.support] == ["supply_is_good", "spare_the_feed"]


def test_answers_left_from_another_machine_are_passed_over() -> None:
    known = read({"rest_volts": 12.6, "key_feed_volts": 11.0}, lamp_glow="bright", key_feed_volts="live")
    left = BARE.direct(replace(known, repaired=frozenset({"lamp.blown"})))
    assert left == BARE.direct(read({"rest_volts": 12.6}))
    assert left.result.facts == BARE.direct(read({"rest_volts": 12.6})).result.facts


def test_it_is_said_which_rules_and_lines_do_not_apply_to_a_machine() -> None:
    """Each with its place in the file; a rule that only in part means nothing stays for the rest."""
    said = sorted((dropped.rule, dropped.because) for dropped in BARE.dropped)
    assert said == [
        ("damp_contacts", "the machine has nothing that any contact names"),
        ("feed_is_lost", "the check key_feed_volts cannot be made on the machine"),
        ("feed_is_not_lost", "the check key_feed_volts cannot be made on the machine"),
        ("feed_nearly_whole", "the check key_feed_volts cannot be made on the machine"),
        ("keep_off_the_lamp", "the check lamp_glow cannot be made on the machine"),
        ("lamp_machine", "the machine has no lamp"),
        ("look_along_the_feed", "the machine has no wire before key_contact"),
        ("more_at_the_key_than_at_the_post", "the check key_feed_volts cannot be made on the machine"),
        ("partly_for_the_bare_one", "the check key_feed_volts cannot be made on the machine"),
        ("partly_for_the_bare_one", "the machine has nothing that lamp names"),
        ("spare_the_feed", "the check look_at.feed_wire cannot be made on the machine"),
        ("supply_is_good", "the check key_feed_volts cannot be made on the machine"),
        ("switch_waits_for_its_feed", "the machine has no contact after feed_wire"),
        ("try_the_lamp", "the check key_feed_volts cannot be made on the machine"),
        ("try_the_lamp", "the check lamp_glow cannot be made on the machine"),
    ]
    assert all(dropped.place.line for dropped in BARE.dropped)
    days = SessionFacts(history={"stood": ("days",)})
    assert BARE.direct(days).preferred == {"look_at.ground_wire": (2.0, "partly_for_the_bare_one")}
    assert BARE.direct(days).shifts == {}
    assert [(dropped.rule, dropped.because) for dropped in LAMP.dropped] == [
        ("bare_machine", "the machine has a lamp"),
    ]


answers = st.builds(
    SessionFacts,
    complaint=st.sampled_from(["", "dark", "unclear"]),
    history=st.fixed_dictionaries(
        {},
        optional={
            "stood": st.lists(st.sampled_from(["months", "days"]), unique=True).map(tuple),
            "jumped": st.lists(st.sampled_from(["twice", "never"]), unique=True).map(tuple),
        },
    ),
    findings=st.fixed_dictionaries(
        {},
        optional={
            "rest_volts": st.sampled_from(["dead", "live"]),
            "key_feed_volts": st.sampled_from(["dead", "live"]),
            "feed_loss": st.sampled_from(["bad", "none"]),
            "lamp_glow": st.sampled_from(["dark", "bright"]),
        },
    ),
    values=st.dictionaries(st.sampled_from(["rest_volts", "key_feed_volts"]), st.sampled_from([0.0, 11.0, 12.0, 12.6])),
    taken=st.frozensets(st.sampled_from(["rest_volts", "look_at.feed_wire", "lamp_glow"])),
    settings=st.fixed_dictionaries({}, optional={"isolator": st.sampled_from(["on", "off"])}),
    repaired=st.frozensets(st.sampled_from(["battery.flat", "feed_wire.broken", "lamp.blown"])),
)


def grounded(book: Book, circuit: str) -> Grounding:
    return ground(replace(compose(BOOK, circuit), book=book))


@law
@given(answers, st.sampled_from(["lamp_12", "bare_12"]), st.data())
def test_the_order_of_rules_and_answers_changes_no_directive(
    known: SessionFacts, circuit: str, data: st.DataObject
) -> None:
    rules = data.draw(st.permutations(list(BOOK.rules.items())))
    turned = replace(
        known,
        history=dict(reversed([*known.history.items()])),
        findings=dict(reversed([*known.findings.items()])),
        values=dict(reversed([*known.values.items()])),
    )
    expected = (LAMP if circuit == "lamp_12" else BARE).direct(known)
    assert grounded(replace(BOOK, rules=dict(rules)), circuit).direct(turned) == expected


@law
@given(answers)
def test_leaving_out_what_does_not_apply_changes_no_directive(known: SessionFacts) -> None:
    """With the conditions that can never hold left in, the rules do the same."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Writer, "_never", lambda _self, _condition: "")
        whole = ground(compose(BOOK, "bare_12"))
    assert len(whole.instances) > len(BARE.instances)
    assert whole.direct(known) == BARE.direct(known)


@law
@given(answers, st.sampled_from(["lamp_12", "bare_12"]))
def test_every_directive_can_be_explained(known: SessionFacts, circuit: str) -> None:
    """Each names rules of the book whose instance fired, and has a proof."""
    grounding = LAMP if circuit == "lamp_12" else BARE
    directives = grounding.direct(known)
    for fact, rules in directives.because.items():
        assert directives.result.holds(fact)
        assert engine.why(directives.result, fact) is not None
        assert rules
        assert set(rules) <= BOOK.rules.keys()
    told = (*directives.opened, *directives.closed, *directives.preferred, *directives.warned, *directives.required)
    named = {fact[1] for fact in directives.because}
    assert set(told) <= named
    assert all(0.1 <= factor <= 10.0 for factor in directives.shifts.values())
    assert not set(directives.opened) & set(directives.closed)
    assert len({derived.check for derived in directives.derived}) == len(directives.derived)


def test_a_rule_that_depends_on_its_own_absence_is_told_as_a_value_and_refused_for_a_job() -> None:
    book, _ = rule_text.on_ground(
        """
fact doubtful
  name     it is doubtful

rule snake
  when     not fact doubtful
  then     conclude doubtful
  because  It bites its tail.
  source   common practice
"""
    )
    machine = compose(book, "lamp_12")
    cycle = rules_of(machine)
    assert isinstance(cycle, engine.Cycle)
    assert [link.rule for link in cycle.links] == ["snake"]
    with pytest.raises(ValueError, match="rule snake gives 'fact doubtful' from the absence of 'fact doubtful'"):
        ground(machine)


def test_the_shipped_book_can_be_run_on_every_circuit_and_has_no_idle_rule() -> None:
    """Every rule of the book applies to some machine, of the book or of its cases."""
    book, _ = load()
    used: set[str] = set()
    for circuit in dict.fromkeys((*book.circuits, *(case.circuit for case in book.cases.values()))):
        machine = compose(book, circuit)
        assert isinstance(rules_of(machine), engine.RuleSet)
        used |= {instance.rule.id for instance in ground(machine).instances.values()}
    assert book.rules.keys() - used == set()
