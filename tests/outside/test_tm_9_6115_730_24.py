"""TM 9-6115-730-24, WP 0050: rest volts and load test of a sealed battery with glass mats.

Read in a stored copy: generators.tpub.com/TM-9-6115-730-24/TM-9-6115-730-240488.htm.
"""

from __future__ import annotations

import pytest

from support.shop import book, finding, words


@pytest.mark.parametrize("volts", [12.8, 12.9, 13.0])
def test_a_sealed_battery_that_is_full_is_read_as_full(volts: float) -> None:
    """12.8 to 13.0 V after three hours of rest is full (WP 0050, read)."""
    assert finding("rest_volts", volts) == "full"
    assert finding("rest_volts", 2 * volts, 24) == "full"


def test_the_load_test_ends_at_the_printed_volts() -> None:
    """At 550 A, after 15 s, 9.6 V or more is good (WP 0050, read)."""
    check = book().checks["load_test.battery"]
    meanings = {found.id: found.meaning for found in check.findings}
    assert "9.6 V" in meanings["holds"]
    assert "9.6 V" in meanings["fails"]
    assert "15 seconds" in words(check)
    assert check.good == "holds"
