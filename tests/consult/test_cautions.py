"""Which cautions are due, in which order, and how long an acknowledgement holds."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.cautions import BeforeSetting
from coldiron.book.checks import Check
from coldiron.job.cautions import (
    before_check,
    before_repair,
    before_setting,
    guarded,
    target,
)
from support.mechanic import shipped

BOOK = shipped()
NORMAL = {name: setting.normal for name, setting in BOOK.settings.items()}
STATES = st.fixed_dictionaries({name: st.sampled_from(setting.values) for name, setting in BOOK.settings.items()})
CHECKS = st.sampled_from(list(BOOK.checks.values()))
GRAVITY = ("DANGER", "WARNING", "CAUTION", "NOTICE")


@given(CHECKS, STATES)
def test_the_gravest_caution_comes_first(check: Check, settings: dict[str, str]) -> None:
    """DANGER before WARNING before CAUTION before NOTICE, none twice."""
    due = before_check(BOOK, check, settings)
    words = [GRAVITY.index(BOOK.cautions[name].word) for name in due]
    assert words == sorted(words)
    assert len(set(due)) == len(due)


@given(CHECKS, STATES, st.sets(st.sampled_from(list(BOOK.cautions))))
def test_more_made_due_by_rules_is_never_less(check: Check, settings: dict[str, str], extra: set[str]) -> None:
    """What a rule or an answer makes due is added, wherever it comes from."""
    less = set(before_check(BOOK, check, settings))
    assert set(before_check(BOOK, check, settings, extra)) == less | extra
    fault = next(iter(BOOK.faults))
    assert set(before_repair(BOOK, fault, extra)) == set(before_repair(BOOK, fault)) | extra
    assert set(before_setting(BOOK, "key", "start", extra)) == set(before_setting(BOOK, "key", "start")) | extra


def test_for_a_pair_of_eyes_nothing_is_put_back_that_is_told_by_itself() -> None:
    """A lead that is off stays off; a key at ON goes to OFF, unless some caution before that has to be typed."""
    off = {**NORMAL, "battery_lead": "off", "key": "on"}
    assert guarded(BOOK, off) == {"battery_lead": "off"}
    grave = replace(BOOK.cautions["crank_area"], due=(BeforeSetting("key", "off"),))
    assert guarded(replace(BOOK, cautions={**BOOK.cautions, "crank_area": grave}), off) == {
        "battery_lead": "off",
        "key": "on",
    }


def test_cranking_is_dangerous_from_wherever_it_is_reached() -> None:
    """Every check with the key at START has its caution, even where the key stands there already."""
    for check in BOOK.checks.values():
        if check.state.get("key") == "start":
            assert "crank_area" in before_check(BOOK, check, NORMAL)
            assert "crank_area" in before_check(BOOK, check, {**NORMAL, "key": "start"})


@given(CHECKS, STATES)
def test_a_check_has_every_setting_it_asks_for(check: Check, settings: dict[str, str]) -> None:
    """The rest is at normal, or as it was: for eyes alone, and what the check leaves as it stands."""
    after = target(BOOK, check, settings)
    asked = check.state
    assert {name: after[name] for name in asked} == dict(asked)
    rest = {name: value for name, value in after.items() if name not in asked and value != NORMAL[name]}
    assert all(settings[name] == value for name, value in rest.items())
    assert check.reads.quantity == "eye" or rest.keys() <= set(check.leaves)
