"""Numbers and names of J1939 signals, as the public decoder buslab-socket_full-php by leandrogithubf has them.

Read in src/Utils/J1939/SPN.php (commit e7166d5). Only the SPN found there are held here; all other SPN of the book say
in their source where they come from.
"""

from __future__ import annotations

import pytest

from support.shop import book

NAMES = {
    114: ("battery", "current"),
    115: ("alternator", "current"),
    158: ("battery", "key"),
    167: ("charging",),
    168: ("battery", "1"),
    444: ("battery", "2"),
    1675: ("starter", "mode"),
    3509: ("sensor", "supply", "1"),
    3597: ("power output", "supply", "1"),
}
"""SPN and the words that decide its name, all read."""


@pytest.mark.parametrize(("spn", "words"), NAMES.items())
def test_the_book_calls_an_spn_what_the_table_does(spn: int, words: tuple[str, ...]) -> None:
    names = [code.name for code in book().codes.values() if code.spn == spn]
    assert names
    assert all(word in name for name in names for word in words)


def test_only_these_have_the_table_as_their_source() -> None:
    """What is written down from memory or after a maker's list says so instead."""
    for code in book().codes.values():
        assert ("buslab-socket" in code.source) == (code.spn in NAMES), code.id
        assert code.spn in NAMES or "from memory" in code.source or "maker's list" in code.source, code.id
