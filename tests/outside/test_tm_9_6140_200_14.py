"""TM 9-6140-200-14 (para 4-7), TM 5-3805-281-24-2, TM 5-3740-214-14 and TM 55-2210-224-12: cells that differ.

How far the gravity of the cells of one battery may differ: four manuals, three limits. Read in stored copies:
batterymanuals.tpub.com/TM-9-6140-200-14/TM-9-6140-200-140066.htm,
constructionexcavators.tpub.com/TM-5-3805-281-24-2/TM-5-3805-281-24-200527.html,
chemical-biological.tpub.com/TM-5-3740-214-14/0502230419.htm,
railroadmanuals.tpub.com/TM-55-2210-224-12/css/TM-55-2210-224-12_158.htm.
"""

from __future__ import annotations

import re

from support.shop import book

STRICTEST = 0.020  # TM 55-2210-224-12: may be a dead cell (read)
UNSERVICEABLE = 0.025  # TM 9-6140-200-14 para 4-7 (read)
LOOSEST = 0.050  # TM 5-3805-281-24-2 and TM 5-3740-214-14 (read)
CHARGED_ENOUGH = 1.225  # TM 5-3805-281-24-2: 1.225 to 1.280 is charged enough for a load test (read)


def test_cells_called_even_pass_and_a_low_cell_fails_by_every_limit_but_the_strictest() -> None:
    """Certain only beyond the loosest limit, good only within 0.025; the 0.020 is a may-be and is no limit."""
    meanings = {found.id: found.meaning for found in book().checks["cell_gravity.battery"].findings}
    low = [float(figure) for figure in re.findall(r"\d\.\d+", meanings["one_low"])]
    even = [float(figure) for figure in re.findall(r"\d\.\d+", meanings["even"])]
    assert low == [LOOSEST]
    assert even == [CHARGED_ENOUGH, UNSERVICEABLE]
    assert STRICTEST < UNSERVICEABLE


def test_the_limits_are_named_with_their_manuals() -> None:
    source = book().checks["cell_gravity.battery"].source
    assert "TM 9-6140-200-14" in source
    assert "0.025" in source
    assert "TM 5-3805-281-24-2" in source
    assert "0.050" in source
