"""References: whatever a line speaks of must be declared; what is not is named, with the nearest word that is."""

from __future__ import annotations

import pytest

from coldiron.language.build.book import check_file
from coldiron.language.declared import collect
from coldiron.language.read import read
from support.rule_text import load_texts, on_ground

RULE = "rule one\n  when {when}\n  then {then}\n  because b\n  source s\n"
CASE = "case one\n  name n\n  circuit lamp_12\n  complaint dark\n  {line}\n  expect first lamp.blown\n  source s\n"
CHECK = (
    "check one\n  ask a\n  how h\n  {reads}\n  takes 1 minutes\n  {more}\n  finding none from 0 V to 1 V\n"
    "  finding some from 1 V to 9 V\n  good some\n  wrong 1 in 100\n  source s\n"
)
LAMP_PART = "x is lamp\n    from frame to key_out"
PART = "section one\n  name n\n  ends frame\n  part {part}\n"
KIND = (
    "kind one\n  name n\n  acts as {acts}\n  ends feed, out\n  {more}\n  fault dead\n    name d\n    odds 1 in 1000\n"
    "    {effect}\n    repair r\n    takes 1 minutes\n    proof p\n"
)
QUESTION = (
    "question one\n  ask a\n  stage history\n  topic {topic}\n  takes 1 minutes\n  answer yes\n    {line}\n{more}"
)
GROUNDS = "  because b\n  source s\n"
VOLTS = "reads volts at key_feed to frame"


def kind(acts: str = "switch", more: str = "value ohms 1 ohms", effect: str = "becomes open") -> str:
    return KIND.format(acts=acts, more=more, effect=effect)


def check(reads: str = VOLTS, more: str = "state key on") -> str:
    return CHECK.format(reads=reads, more=more)


def question(topic: str = "standing", line: str = "warns spark", more: str = GROUNDS) -> str:
    return QUESTION.format(topic=topic, line=line, more=more)


def described(line: str, answers: str = "answer led\n  answer halogen") -> str:
    """A feature, and a circuit with a line of it."""
    return (
        f"feature sort\n  name n\n  ask a\n  takes 1 minutes\n  {answers}\n{GROUNDS}"
        f"circuit other_12\n  name n\n  volts 12\n  batteries 1\n  uses supply, lighting\n  {line}\n"
    )


def rule(when: str = "lamp_glow dark", then: str = "conclude supply_proven") -> str:
    return RULE.format(when=when, then=then)


UNKNOWN = [
    (described("has sorts led"), "there is no feature 'sorts'", "sort"),
    (described("has sort lde"), "there is no answer of sort 'lde'", "led"),
    (rule("lamp_glo dark"), "there is no check 'lamp_glo'", "lamp_glow"),
    (rule("lamp_glow drak"), "there is no finding of lamp_glow 'drak'", "dark"),
    (rule("look_at.feed_wir bare"), "there is no part 'feed_wir'", "feed_wire"),
    (rule("look_at.feed_wire bar"), "there is no finding of look_at.feed_wire 'bar'", "bare"),
    (rule("complaint drk"), "there is no complaint 'drk'", "dark"),
    (rule("history stod months"), "there is no question 'stod'", "stood"),
    (rule("history stood month"), "there is no answer of stood 'month'", "months"),
    (rule("machine has lampe"), "there is no part 'lampe'", "lamp"),
    (rule("setting kee on"), "there is no setting 'kee'", "key"),
    (rule("setting key of"), "there is no value of key 'of'", "off"),
    (rule("fact supply_provn"), "there is no fact 'supply_provn'", "supply_proven"),
    (rule("repaired lamp.blow"), "there is no fault of a lamp 'blow'", "blown"),
    (rule(then="likelier any wir.broken times 2"), "there is no kind 'wir'", "wire"),
    (rule(then="likelier any wire.brokn times 2"), "there is no fault of a wire 'brokn'", "broken"),
    (rule(then="warn sparks"), "there is no caution 'sparks'", "spark"),
    (rule(then="require lamp_glow before lam"), "there is no part 'lam'", "lamp"),
    (rule(then="conclude supply"), "there is no fact 'supply'", ""),
    (CASE.format(line="given lampglow dark"), "there is no question or check 'lampglow'", "lamp_glow"),
    (CASE.format(line="given lamp_glow drk"), "there is no finding of lamp_glow 'drk'", "dark"),
    (CASE.format(line="given stood month"), "there is no answer of stood 'month'", "months"),
    (CASE.format(line="expect next lampglow"), "there is no check 'lampglow'", "lamp_glow"),
    (CASE.format(line="expect warned sprk"), "there is no caution 'sprk'", "spark"),
    (CASE.format(line="given x y").replace("lamp_12", "lamp_21"), "there is no circuit 'lamp_21'", "lamp_12"),
    (check("reads volts at key_fed to frame"), "there is no point 'key_fed'", "key_feed"),
    (check("reads volts at lamp.fed to frame"), "there is no end of a lamp 'fed'", "feed"),
    (check("reads volts at lmp.feed to frame"), "there is no part 'lmp'", "lamp"),
    (check("reads amps through feedwire"), "there is no part 'feedwire'", "feed_wire"),
    (check(more="kit metre"), "there is no kit 'metre'", "meter"),
    (check(more="area dsh"), "there is no area 'dsh'", "dash"),
    (check(more="warns sprk"), "there is no caution 'sprk'", "spark"),
    (check(more="each wirre"), "there is no kind 'wirre'", "wire"),
    (check().replace("good some", "good som"), "there is no finding of this check 'som'", "some"),
    (PART.format(part="x is wir\n    from frame to key_out"), "there is no kind 'wir'", "wire"),
    (
        PART.format(part="x is lamp\n    joins fed to frame\n    joins ground to key_out"),
        "there is no end of a lamp 'fed'",
        "feed",
    ),
    (PART.format(part="x is lamp\n    from frame to keyout"), "there is no point 'keyout'", "key_out"),
    (
        PART.format(part="x is lamp\n    from frame to key_out\n    value amps 3 A"),
        "there is no value of a load 'amps'",
        "",
    ),
    (
        PART.format(part="x is contact\n    from frame to key_out\n    closed when key strt"),
        "there is no value of key 'strt'",
        "start",
    ),
    (kind(acts="swich"), "there is no way to act 'swich'", "switch"),
    (kind(more="value ohm 1 ohms"), "there is no value of a switch 'ohm'", "ohms"),
    (kind(effect="becomes open at coil"), "there is no portion 'coil'", ""),
    (kind(effect="leaks fed to frame through 1 ohms"), "there is no end of this kind 'fed'", "feed"),
    (kind(effect="leaks feed to fram through 1 ohms"), "there is no point 'fram'", "frame"),
    (kind("load", effect="sets ohm to 1 ohms"), "there is no value of this kind 'ohm'", "ohms"),
    (kind(effect="shows lamp_glow drk 1 in 2"), "there is no finding of lamp_glow 'drk'", "dark"),
    (question(topic="standin"), "there is no topic 'standin'", "standing"),
    (question(line="warns sprk"), "there is no caution 'sprk'", "spark"),
    (question(line="likelier lam times 2"), "there is no part 'lam'", "lamp"),
    ("point x\n  name n\n  area dsh\n", "there is no area 'dsh'", "dash"),
    ("setting x\n  name n\n  values up, down\n  normal don\n", "there is no value of x 'don'", "down"),
    ("circuit x\n  name n\n  volts 12\n  batteries 1\n  uses suply\n", "there is no section 'suply'", "supply"),
    (
        "caution x\n  word NOTICE\n  hazard h\n  harm h\n  avoid a\n  due check lampglow\n  until day\n  source s\n",
        "there is no check 'lampglow'",
        "lamp_glow",
    ),
]


@pytest.mark.parametrize(("text", "says", "meant"), UNKNOWN, ids=[says for _, says, _ in UNKNOWN])
def test_what_is_not_declared_is_said_with_the_nearest_word(text: str, says: str, meant: str) -> None:
    """At the word, or the half of it, that is wrong."""
    problems = on_ground(text)[1]
    problem = next(one for one in problems if one.kind == "unknown-word" and one.sentence == says)
    line = text.split("\n")[problem.place.line - 1]
    assert line[problem.place.column - 1 : problem.place.end - 1] == says.split("'")[1]
    assert problem.nearest == meant


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            kind().replace("  fault dead", kind().partition("  fault")[2].join(("  fault", "  fault dead"))),
            "fault 'dead'",
        ),
        (question(more="  answer yes\n" + GROUNDS), "answer 'yes'"),
        (
            PART.format(part="x is lamp\n    from frame to key_out\n  part x is lamp\n    from frame to key_out"),
            "part 'x'",
        ),
    ],
)
def test_what_stands_twice_inside_a_block_is_said(text: str, says: str) -> None:
    """Both places are shown."""
    problem = next(one for one in on_ground(text)[1] if one.kind == "duplicate")
    assert problem.sentence == f"{says} is declared twice"
    assert problem.related[0][1].line < problem.place.line


@pytest.mark.parametrize(
    ("text", "word"),
    [
        (described("has sort led\n  has sort halogen"), "sort"),
        (described("has sort led, led"), "led"),
        (described("has sort led", answers="answer led\n  answer led"), "led"),
    ],
)
def test_an_answer_to_a_feature_stands_once(text: str, word: str) -> None:
    """In the feature, in a line of a circuit, and one line of it for each feature."""
    assert [(one.kind, one.sentence) for one in on_ground(text)[1]] == [("listed-twice", f"'{word}' is listed twice")]


def test_one_file_can_be_checked_against_what_the_others_declare() -> None:
    """Its own problems only, and the words of the others known."""
    other, _ = read("other.rules", b"kit gauge\n  name n\n")
    mine, _ = read("mine.rules", b"kit gauge\n  name m\narea bay\n  name b\n")
    problems = check_file(mine, collect([other]))
    assert [(problem.kind, problem.place.file) for problem in problems] == [
        ("duplicate", "mine.rules"),
        ("missing-line", "mine.rules"),
    ]


def test_the_number_of_problems_of_one_file_is_bounded() -> None:
    """After two hundred of them the rest is left, and that is said."""
    problems = load_texts("".join(f"area a{number}\n  name n\n" for number in range(400)))[1]
    assert len(problems) < 210
    assert problems[-1].kind == "too-many"
