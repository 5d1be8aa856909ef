"""Which cautions are due, in which order, and how long an acknowledgement holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.consult.cautions import (
    before_check,
    before_repair,
    before_setting,
    guarded,
    surviving,
    target,
    unacknowledged,
)
from coldiron.consult.dues import TYPED
from coldiron.model import Caution, Check
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


@given(st.sets(st.sampled_from(list(BOOK.cautions))), STATES, STATES)
def test_a_change_of_state_only_ends_acknowledgements(
    held: set[str], before: dict[str, str], after: dict[str, str]
) -> None:
    """None is added; those that end have a changed setting among those they hold until."""
    left = surviving(BOOK, held, (), before, after)
    assert left <= held
    changed = {name for name in after if before[name] != after[name]}
    assert held - left == {name for name in held if changed & set(BOOK.cautions[name].until)}
    assert surviving(BOOK, held, held, before, after) == held


def test_only_what_has_to_be_typed_leaves_a_setting_as_it_is() -> None:
    """A lead that is off stays off for a pair of eyes as long as some caution before putting it on has to be typed."""
    off = {**NORMAL, "battery_lead": "off"}
    assert guarded(BOOK, off) == {"battery_lead": "off"}
    due = before_setting(BOOK, "battery_lead", NORMAL["battery_lead"])
    mute = {name: replace(BOOK.cautions[name], word="NOTICE", type="") for name in due}
    assert due
    assert guarded(replace(BOOK, cautions={**BOOK.cautions, **mute}), off) == {}


@pytest.mark.parametrize("caution", [c for c in BOOK.cautions.values() if c.word in TYPED], ids=lambda c: c.id)
def test_a_grave_caution_waits_for_its_word(caution: Caution) -> None:
    """It is waited for until it is acknowledged."""
    name = caution.id
    assert [c.id for c in unacknowledged(BOOK, [name], [])] == [name]
    assert unacknowledged(BOOK, [name], [name]) == ()


def test_a_notice_is_never_waited_for() -> None:
    """CAUTION and NOTICE stand with the step itself."""
    lesser = [name for name, caution in BOOK.cautions.items() if caution.word not in TYPED]
    assert lesser
    assert unacknowledged(BOOK, lesser, []) == ()


def test_cranking_is_dangerous_from_wherever_it_is_reached() -> None:
    """Every check with the key at START has its caution, even where the key stands there already."""
    for check in BOOK.checks.values():
        if check.state.get("key") == "start":
            assert "crank_area" in before_check(BOOK, check, NORMAL)
            assert "crank_area" in before_check(BOOK, check, {**NORMAL, "key": "start"})


@given(CHECKS, STATES)
def test_a_check_has_every_setting_it_asks_for(check: Check, settings: dict[str, str]) -> None:
    """The rest is at normal, or for eyes alone as it was."""
    after = target(BOOK, check, settings)
    asked = check.state
    assert {name: after[name] for name in asked} == dict(asked)
    rest = {name: value for name, value in after.items() if name not in asked and value != NORMAL[name]}
    assert all(settings[name] == value for name, value in rest.items())
    assert not rest or check.reads.quantity == "eye"
