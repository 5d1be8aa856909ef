"""Trouble codes in rule files: what is built of a block, and numbers that cannot be."""

from __future__ import annotations

import pytest

from coldiron.book.conditions import CodeGiven, Condition, ControllerTalks
from coldiron.book.faults import FaultRef
from coldiron.book.history import Shift
from coldiron.book.source import NOWHERE
from coldiron.record import replace
from support.rule_text import on_ground

BLOCK = """code volts_dead
  name    battery volts
  spn     {spn}
  fmi     {fmi}
  says    Too few volts
  says    when it looked.
  topic   standing
  likelier   any wire times 2
  because It looked.
  source  common practice
"""
CASE = """case one
  name      one lamp, no light
  circuit   lamp_12
  complaint dark
  given     code {given}
  expect    among lamp.blown
  source    common practice
"""


def test_a_block_becomes_a_record() -> None:
    book, problems = on_ground(BLOCK.format(spn="168", fmi="1, 4"))
    assert problems == ()
    code = book.codes["volts_dead"]
    assert (code.spn, code.fmis, code.says) == (168, (1, 4), "Too few volts when it looked.")
    assert [replace(shift, faults=replace(shift.faults, place=NOWHERE)) for shift in code.shifts] == [
        Shift(FaultRef(kind="wire"), 2.0)
    ]


@pytest.mark.parametrize(
    ("spn", "fmi", "kind"),
    [
        ("524288", "1", "out-of-range"),
        ("168", "32", "out-of-range"),
        ("168", "1, 1", "listed-twice"),
        ("99999999999999999999999999999999999999999999", "1", "out-of-range"),
    ],
)
def test_numbers_that_cannot_be_are_mistakes(spn: str, fmi: str, kind: str) -> None:
    book, problems = on_ground(BLOCK.format(spn=spn, fmi=fmi))
    assert [problem.kind for problem in problems] == [kind]
    assert "volts_dead" not in book.codes


@pytest.mark.parametrize(("spn", "fmi"), [("168.5", "1"), ("-168", "1"), ("168", "1 4"), ("0x10", "1"), ("168", "one")])
def test_what_is_no_whole_number_cannot_be_read(spn: str, fmi: str) -> None:
    _, problems = on_ground(BLOCK.format(spn=spn, fmi=fmi))
    assert problems
    assert all(problem.place.line in (3, 4) for problem in problems)


@pytest.mark.parametrize(
    ("given", "kind", "column"),
    [
        ("168 32", "out-of-range", 22),
        ("524288 1", "out-of-range", 18),
        ("168", "bad-code", 18),
        ("1 2 3", "bad-code", 18),
    ],
)
def test_a_case_gives_codes_that_can_be(given: str, kind: str, column: int) -> None:
    _, problems = on_ground(CASE.format(given=given))
    assert [(problem.kind, problem.place.column) for problem in problems] == [(kind, column)]
    book, problems = on_ground(CASE.format(given="168 17"))
    assert problems == ()
    assert (book.cases["one"].given[0].id, book.cases["one"].given[0].value) == ("code", "168 17")


def test_rules_ask_for_a_code_or_for_any() -> None:
    rule = "rule quick\n  when    {}\n  then    allow rest_volts\n  because It saves.\n  source  common practice\n"
    book, problems = on_ground(rule.format("code volts_low\n  and     not controller talks"))
    assert problems == ()
    first, second = book.rules["quick"].when
    assert replace(first, place=NOWHERE) == Condition(CodeGiven("volts_low"))
    assert replace(second, place=NOWHERE) == Condition(ControllerTalks(), negated=True)
    _, problems = on_ground(rule.format("code volts_lo"))
    assert [(problem.kind, problem.nearest) for problem in problems] == [("unknown-word", "volts_low")]
