"""Bits of doubt: the one place where they are worked out."""

from __future__ import annotations

from collections.abc import Iterable
from math import log2


def entropy(shares: Iterable[float], whole: float = 1.0) -> float:
    """Bits of doubt in shares of a whole above 0; what is 0 or less adds nothing.

    Shares that do not add up to the whole give the bits that they add: of a part of what is possible, say.
    """
    return -sum([share * log2(share / whole) for share in shares if share > 0]) / whole
