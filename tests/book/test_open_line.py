"""What a meter shows as OL is a finding of every check of the book that can read an open line."""

from __future__ import annotations

import pytest

from coldiron.book.checks import ODD
from coldiron.readings.interpret import understand
from support.mechanic import shipped


@pytest.mark.parametrize("name", [name for name, check in shipped().checks.items() if check.reads.quantity == "ohms"])
def test_an_open_line_is_a_finding(name: str) -> None:
    """OL, typed as the meter shows it, means what the largest readings mean."""
    check = shipped().checks[name]
    shown = understand(check, "OL", 12, 1).finding
    assert shown != ODD
    assert shown == understand(check, "10000000", 12, 1, sure=True).finding
