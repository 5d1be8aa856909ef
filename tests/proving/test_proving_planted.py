"""Mistakes planted in a small sound book, one of each sort a rule file can make of a circuit, are found at their line.

The book is one lamp behind a key switch. Its figures are sums anyone can do: 12.6 V, a lamp of 7 ohms.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from coldiron.proving import Yard, alike, prove
from support.rule_text import GROUND, load_texts

RULE = "rule planted\n  when     {when}\n  then     {then}\n  because  It saves a walk.\n  source   common practice\n"
CASE = (
    "case planted\n  name      planted\n  circuit   lamp_12\n  complaint dark\n{given}"
    "  expect    first {first}\n  source    common practice, no source\n"
)
LINES = "    warns   spark\n\nkind wire"
EMPTY = (
    "    warns   spark\n  fault empty\n    name    empty\n    odds    20 in 1000\n    sets    volts to 8 to 2 V\n"
    "    repair  Charge it.\n    takes   60 minutes\n    proof   Rest volts above 12.4 V.\n"
    "    warns   spark\n\nkind wire"
)
LAMP_24 = (
    "section supply_24\n  name    two batteries\n  ends    battery_positive, frame\n"
    "  part battery is battery\n    from  battery_positive to battery_negative\n    value volts 25.2 V\n"
    "  part ground_wire is wire\n    from  battery_negative to frame\n    value area 35 mm2\n    value length 0.5 m\n"
    "circuit lamp_24\n  name      one lamp, 24 V\n  volts     24\n  batteries 2\n  uses      supply_24, lighting\n"
)

NARROW = ("spread  3 in 100 and 0.03 V", "spread  1 in 100 and 0.03 V")
"""The small book spreads one check so far that a sound machine leaves its good band: for a proof it is mended first."""


@dataclass(frozen=True)
class Planted:
    """What is changed in the sound book or added to it, what is found, and the line it is found at."""

    name: str
    kind: str
    line: str
    edits: tuple[tuple[str, str], ...] = ()
    more: str = ""
    says: str = ""
    alone: bool = True


def given(*readings: str) -> str:
    """Lines of a case."""
    return "".join(f"  given     {reading}\n" for reading in readings)


PLANTED = (
    Planted(
        "a gap between two bands",
        "bands-gap",
        "finding live from 1 V to 13.2 V per battery",
        edits=(("finding dead from -0.3 V to 1 V", "finding dead from -0.3 V to 0.5 V"),),
    ),
    Planted(
        "two bands that overlap",
        "bands-overlap",
        "finding live from 1 V to 13.2 V per battery",
        edits=(("finding dead from -0.3 V to 1 V", "finding dead from -0.3 V to 2 V"),),
    ),
    Planted(
        "a good band that begins above what a sound battery gives",
        "sound-not-good",
        "finding live from 12.9 V to 13.2 V per battery",
        edits=(("to 11.9 V per battery", "to 12.9 V per battery"), ("live from 11.9 V", "live from 12.9 V")),
        says="12.6 V",
        alone=False,
    ),
    Planted(
        "sound readings that scatter beyond the good band",
        "sound-not-good",
        "finding live from 1 V to 13.2 V per battery",
        edits=(NARROW[::-1],),
        says="94%",
    ),
    Planted(
        "ohms with the point in the wrong place",
        "sound-not-good",
        "finding bright from 0.3 to 1.2 meaning bright",
        edits=(("value   ohms 0.01 ohms\n  fault burnt", "value   ohms 100 ohms\n  fault burnt"),),
        alone=False,
    ),
    Planted(
        "figures of 12 V for a machine of 24 V",
        "sound-not-good",
        "finding live from 11.9 V to 13.2 V",
        edits=(
            ("dead from -0.3 V to 11.9 V per battery", "dead from -0.3 V to 11.9 V"),
            ("live from 11.9 V to 13.2 V per battery", "live from 11.9 V to 13.2 V"),
        ),
        more=LAMP_24,
        says="lamp_24",
        alone=False,
    ),
    Planted(
        "a band that nothing leads to",
        "finding-unreached",
        "finding low from 1 V to 3 V",
        edits=(("finding live from 1 V to", "finding low from 1 V to 3 V\n  finding live from 3 V to"),),
        says="1 V to 3 V",
    ),
    Planted(
        "minus volts that nothing leads to",
        "finding-unreached",
        "finding minus from -30 V to -0.3 V",
        edits=(("finding live from 1 V to", "finding minus from -30 V to -0.3 V\n  finding live from 1 V to"),),
        says="-30 V to -0.3 V",
    ),
    Planted(
        "a fault whose figures miss its band",
        "finding-unreached",
        "finding dead from -0.3 V to 11.9 V per battery",
        edits=(("sets    volts to 11.8 to 9 V", "sets    volts to 12.8 to 12.4 V"),),
        alone=False,
    ),
    Planted(
        "a battery that reads better the worse it is",
        "worse-reads-better",
        "fault flat",
        edits=(("sets    volts to 11.8 to 9 V", "sets    volts to 9 to 11.8 V"),),
        says="nearer to sound",
    ),
    Planted(
        "volts that no fault of the battery has",
        "no-owner",
        "sets    volts to 11.8 to 9 V",
        edits=((LINES, EMPTY),),
        says="between 8 and 9",
        alone=False,
    ),
    Planted(
        "a complaint that no machine makes",
        "complaint-never",
        "complaint odd_light",
        more="complaint odd_light\n  name    lights without a feed\n"
        "  sees    lamp_glow bright\n  sees    key_feed_volts dead\n",
    ),
    Planted(
        "an answer whose shift changes nothing that anybody would see",
        "answer-idle",
        "answer days meaning some days",
        edits=(
            (
                "  answer days meaning some days\n",
                "  answer days meaning some days\n    likelier battery.flat times 1.02\n",
            ),
        ),
        says="'days' to 'stood'",
    ),
    Planted(
        "a fault said to show what it does not",
        "shows-against-circuit",
        "shows   rest_volts live 90 in 100",
        edits=((LINES, f"    shows   rest_volts live 90 in 100\n{LINES}"),),
        says="'dead'",
    ),
    Planted(
        "a fault that shows it alone, and not beside its cause",
        "shows-against-circuit",
        "shows   lamp_glow bright 95 in 100",
        edits=((LINES, f"    shows   lamp_glow bright 95 in 100\n{LINES}"),),
        says="battery.flat and ground_wire.broken",
    ),
    Planted(
        "a rule that waits for two findings that never meet",
        "rule-never",
        "and      key_feed_volts dead",
        more=RULE.format(when="lamp_glow bright\n  and      key_feed_volts dead", then="ask rest_volts 2 times sooner"),
    ),
    Planted(
        "a rule that waits for a figure nothing gives",
        "rule-never",
        "when     rest_volts below 5 V",
        more=RULE.format(when="rest_volts below 5 V", then="ask key_feed_volts 2 times sooner"),
    ),
    Planted(
        "a rule that compares two readings the wrong way round",
        "rule-never",
        "when     key_feed_volts above rest_volts by 2 V",
        more=RULE.format(when="key_feed_volts above rest_volts by 2 V", then="ask look_at.feed_wire 2 times sooner"),
    ),
    Planted(
        "a rule that makes a finding the circuit denies",
        "rule-against-circuit",
        "then     count lamp_glow as bright in place of key_feed_volts for any wire",
        more=RULE.format(
            when="key_feed_volts below rest_volts by 5 V",
            then="count lamp_glow as bright in place of key_feed_volts for any wire",
        ),
    ),
    Planted(
        "a case with a reading its machine cannot give",
        "case-against-circuit",
        "given     rest_volts 20 V",
        more=CASE.format(given=given("rest_volts 20 V"), first="battery.flat"),
        says="in no band",
    ),
    Planted(
        "a case with a figure that lies in a band and yet nothing gives",
        "reading-out-of-span",
        "given     rest_volts 5 V",
        more=CASE.format(given=given("rest_volts 5 V"), first="battery.flat"),
        says="battery.flat, which gives 9 V to 11.8 V",
    ),
    Planted(
        "a case whose readings contradict each other",
        "case-against-circuit",
        "given     key_feed_volts 0.2 V",
        more=CASE.format(given=given("key_feed_volts 0.2 V", "lamp_glow bright"), first="feed_wire.broken"),
        says="dead",
        alone=False,
    ),
    Planted(
        "a case whose readings leave no room for the fault it expects",
        "case-against-circuit",
        "given     rest_volts 11.4 V",
        more=CASE.format(given=given("rest_volts 11.4 V", "key_feed_volts 0.2 V"), first="lamp.blown"),
        says="expects lamp.blown",
        alone=False,
    ),
)


def yard(planted: Planted | None = None) -> tuple[Yard, list[str]]:
    """The yard of the small book with something planted in it, and the lines of its text."""
    text = GROUND.read_text(encoding="utf-8").replace(*NARROW)
    for old, new in planted.edits if planted else ():
        assert old in text
        text = text.replace(old, new, 1)
    text += planted.more if planted else ""
    book, problems = load_texts(text)
    assert problems == ()
    return Yard(book), text.splitlines()


def test_the_sound_book_proves_clean() -> None:
    assert prove(yard()[0]) == ()


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.name)
def test_what_is_planted_is_found(planted: Planted) -> None:
    """Its kind, at its line, in words that name the reading; and nothing else unless it has to follow."""
    where, lines = yard(planted)
    problems = prove(where)
    found = [one for one in problems if one.kind == planted.kind and planted.says in one.sentence]
    assert found, [str(one) for one in problems]
    assert planted.line in {lines[one.place.line - 1].strip() for one in found}
    assert all(one.weight == "error" for one in problems)
    if planted.alone:
        assert len(problems) == 1, [str(one) for one in problems]


def test_a_line_that_says_what_the_circuit_gives_is_no_mistake() -> None:
    """A run-down battery reads dead at rest, by the line as by the circuit."""
    good = Planted("", "", "", edits=((LINES, f"    shows   rest_volts dead 97 in 100\n{LINES}"),))
    assert prove(yard(good)[0]) == ()


def test_a_rule_and_a_case_that_fit_are_no_mistake() -> None:
    more = RULE.format(when="key_feed_volts below rest_volts by 5 V", then="ask look_at.feed_wire 2 times sooner")
    case = CASE.format(given=given("rest_volts 12.6 V", "key_feed_volts 0.05 V"), first="feed_wire.broken")
    assert prove(yard(Planted("", "", "", more=more + case))[0]) == ()


def test_faults_that_no_check_tells_apart_are_listed() -> None:
    """A blown lamp and an open contact give one picture; a few ohms before a lamp read as a sound machine does."""
    twin = "  fault worn_off\n    name    worn off\n    odds    30 in 1000\n    becomes open\n    repair  Fit one.\n"
    twin += "    takes   25 minutes\n    proof   It lights.\n"
    idle = twin.replace("worn_off", "tired").replace("worn off", "tired").replace("becomes open", "adds    0.001 ohms")
    where, _ = yard(Planted("", "", "", edits=(("kind lamp\n", f"{twin}{idle}\nkind lamp\n"),)))
    (solved,) = where.machines
    groups = {group.faults: group.unseen for group in alike(solved)}
    assert groups["key_contact.burnt", "key_contact.tired"]
    assert not groups["key_contact.worn_off", "lamp.blown"]
    assert "battery.flat" not in {fault for faults in groups for fault in faults}
