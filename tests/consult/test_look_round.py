"""One look round the machine tells how it stands now, and ends what was acknowledged while it stood otherwise."""

from __future__ import annotations

import pytest

from coldiron.consult.fold import replay
from coldiron.job.acknowledged import Acks
from coldiron.job.at_machine import look_round, moved_value
from support.mechanic import shipped

BOOK = shipped()
TOLD = [name for name, setting in BOOK.settings.items() if setting.confirm]


@pytest.mark.parametrize("name", TOLD)
def test_a_setting_seen_otherwise_than_told_ends_what_hung_on_it(name: str) -> None:
    """What was read with the lead off is read again once somebody has seen it on; what hangs on nothing moved stays."""
    state = replay(BOOK, ())
    state.settings = {**state.settings, name: moved_value(BOOK.settings[name])}
    state.acks = Acks(held=frozenset(BOOK.cautions))
    look_round(state, "none")
    assert state.settings[name] == BOOK.settings[name].normal
    assert not [one for one in state.acks.held if name in BOOK.cautions[one].until]
    stay = [one for one in BOOK.cautions.values() if one.until and "day" in one.until and name not in one.until]
    assert {one.id for one in stay} <= state.acks.held


def test_a_look_that_finds_all_as_it_was_told_ends_nothing_held() -> None:
    """The machine stands as it was said to stand."""
    state = replay(BOOK, ())
    held = frozenset(one.id for one in BOOK.cautions.values() if "day" in one.until)
    state.acks = Acks(held=held)
    look_round(state, "none")
    assert state.acks.held == held
