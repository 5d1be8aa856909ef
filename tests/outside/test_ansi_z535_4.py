"""ANSI Z535.4-2007, 4.14.1 to 4.14.4: what the signal words stand for.

DANGER will kill or seriously hurt, WARNING could, CAUTION could hurt a little, NOTICE is not about injury. Read as
copied
at safetylabel.com/safetylabelstandards/ansi-signal-words.php.
"""

from __future__ import annotations

import pytest

from support.shop import book

INJURY = ("burn", "crush", "blind", "lung", "finger", "eye", "hand", "bone", "die", "caught", "surgeon", "explode")
"""Words of injury; none may stand behind a NOTICE."""


@pytest.mark.parametrize("name", ["raised_parts", "crank_area", "remote_start_button", "roll_away", "battery_gas"])
def test_what_kills_is_danger(name: str) -> None:
    """Crushed under a part, run over, hit by a bursting battery."""
    assert book().cautions[name].word == "DANGER"


def test_only_the_four_words_are_used() -> None:
    assert {caution.word for caution in book().cautions.values()} == {"DANGER", "WARNING", "CAUTION", "NOTICE"}


def test_a_notice_speaks_of_no_injury() -> None:
    for caution in book().cautions.values():
        if caution.word == "NOTICE":
            assert not [word for word in INJURY if word in caution.harm.lower().split()], caution.id


def test_small_injuries_are_cautions_and_need_no_typing() -> None:
    """DANGER and WARNING are acknowledged by typing what is seen; CAUTION and NOTICE are read."""
    for caution in book().cautions.values():
        assert bool(caution.type) == (caution.word in {"DANGER", "WARNING"}), caution.id
