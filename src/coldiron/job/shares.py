"""Chances and worth of checks in the words of a workshop: so many in a hundred, never none and never all."""

from __future__ import annotations

from collections.abc import Iterable
from math import log2


def in_100(chance: float) -> str:
    """A chance in words; only what is certain is 100 in 100."""
    if 0 < chance < 0.01:
        return "less than 1 in 100"
    return f"{min(99, round(100 * chance)) if chance < 1 else 100} in 100"


def settled(bits: float, parts: Iterable[tuple[str, float]], unknown: float) -> str:
    """How much of the doubt about which part it is goes away with so many bits, in words.

    The doubt is the entropy of the chances of the parts and of something unknown, taken as shares of one.
    """
    chances = [chance for _, chance in parts if chance > 0] + ([unknown] if unknown > 0 else [])
    total = sum(chances)
    doubt = -sum(chance / total * log2(chance / total) for chance in chances) if total > 0 else 0.0
    share = min(1.0, bits / doubt) if doubt > 0 else 0.0
    return f"about {max(1, round(100 * share))} in 100 of the doubt"
