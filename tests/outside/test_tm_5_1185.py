"""TM 5-1185, tables II to IV, and TM 10-6140-200-14, table 1-1: gravity, and the cold that freezes a battery.

Read in stored copies: constructionrollers.tpub.com/TM-5-1185/TM-5-118500098.html and _00099.html;
batterymanuals.tpub.com/TM-10-6140-200-14/TM-10-6140-200-140011.htm. A battery supplier's column of freezing points
(discoverbattery.com, article 120: gravity 1.190 at -34 F, 1.120 at -10 F) is 20 to 30 F off from all others and is not
used.
"""

from __future__ import annotations

import re

import pytest

from support.shop import begin, book, onward, told

FREEZES = {1.280: -90, 1.250: -62, 1.200: -16, 1.150: 5, 1.100: 19}
"""Gravity and freezing point in F, table III (read)."""

SECOND = {1.280: -95, 1.250: -62, 1.220: -31, 1.160: 1}
"""The same in TM 10-6140-200-14, table 1-1 (read)."""

AT_0_F, AT_80_F = 1.312, 1.280
"""Gravity of a full battery at two temperatures, table IV (read; its column heads are lost, the places are derived)."""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) * 5 / 9


def test_the_caution_names_the_printed_freezing_points() -> None:
    text = book().cautions["frozen_battery"].hazard
    found = re.findall(r"(\d+) F \((-\d+) C, gravity (\d\.\d+)\)", text)
    assert len(found) == 2
    for fahrenheit, cold, gravity in found:
        assert float(cold) == pytest.approx(celsius(FREEZES[round(float(gravity), 3)]), abs=0.6)
        assert float(fahrenheit) == pytest.approx(FREEZES[round(float(gravity), 3)], abs=0.6)


def test_two_tables_agree_where_the_supplier_does_not() -> None:
    """At 1.250 both print -62 F; at 1.220 the second lies where the first runs between 1.250 and 1.200."""
    assert FREEZES[1.250] == SECOND[1.250]
    between = FREEZES[1.200] + (1.220 - 1.200) / 0.05 * (FREEZES[1.250] - FREEZES[1.200])
    assert between == pytest.approx(SECOND[1.220], abs=5)
    line_at_1190 = FREEZES[1.150] + (1.190 - 1.150) / 0.05 * (FREEZES[1.200] - FREEZES[1.150])
    assert abs(line_at_1190 - -34) > 20


def test_the_step_of_the_hydrometer_is_that_of_table_iv() -> None:
    """1.312 at 0 F is 1.280 at 80 F, so 0.004 for each 10 F (derived), as the check says."""
    assert pytest.approx(0.004) == (AT_0_F - AT_80_F) / 8
    assert "0.004 for each 10 F (5.5 C) above 80 F" in book().checks["cell_gravity.battery"].how


def test_a_flat_battery_in_frost_is_warned_of_before_any_current() -> None:
    """A run-down battery freezes in hard frost (table III): no charging and no jumping before it is looked at."""
    job = told(begin("start_relay", "weak_lamps"), {"frost": "frost", "rest_volts": "9.0"})
    assert job.next is not None
    seen = {caution.id for caution in job.next.cautions}
    assert "frozen_battery" in seen
    asked = onward(job).next
    assert asked is not None
    assert asked.id not in {"booster_start", "load_test.battery"}


def test_a_full_battery_in_frost_is_not() -> None:
    job = told(begin("start_relay", "slow_crank"), {"frost": "frost", "rest_volts": "12.65"})
    assert job.next is not None
    assert "frozen_battery" not in {caution.id for caution in job.next.cautions}
