"""How much the long tests look at: little in a plain run, more where a change is judged, most by hand.

COLDIRON_THOROUGH=1 is the thorough run that `.ci/run` makes, COLDIRON_THOROUGH=2 the same with the largest sizes.
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterable
from typing import TypeVar

T = TypeVar("T")

LEVEL = min(2, int(os.environ.get("COLDIRON_THOROUGH") or 0))
"""0 plain, 1 thorough, 2 by hand."""

THOROUGH = LEVEL > 0


def size(plain: int, thorough: int, by_hand: int) -> int:
    """The size of a test in this run."""
    return (plain, thorough, by_hand)[LEVEL]


def few(every: Iterable[T], plain: int, thorough: int = 0) -> list[T]:
    """In a plain run so many of them; where a change is judged as many as asked for, or two in three; all by hand.

    Drawn by a seed, and in their order.
    """
    known = list(every)
    wanted = size(plain, max(plain, thorough or -(-2 * len(known) // 3)), len(known))
    if wanted >= len(known):
        return known
    drawn = random.Random(f"few {len(known)} {wanted}").sample(range(len(known)), wanted)  # noqa: S311 - no secret
    return [known[place] for place in sorted(drawn)]
