"""Chances and the worth of a check in the words of a workshop: never none and never all."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.entropy import entropy

NARROWS = (
    (0.05, "hardly narrows what is left"),
    (0.2, "narrows what is left a little"),
    (0.42, "narrows what is left by about a third"),
    (0.62, "splits what is left about in half"),
    (0.85, "settles most of what is left"),
)
"""What a check does to the doubt, by the share of it that goes away; each row up to its share."""

NEARLY_ALL = "settles nearly all of what is left"


def in_100(chance: float) -> str:
    """A chance in words; only what is certain is 100 in 100."""
    if 0 < chance < 0.01:
        return "less than 1 in 100"
    return f"{min(99, round(100 * chance)) if chance < 1 else 100} in 100"


def share_settled(bits: float, work: Iterable[tuple[str, float]], unknown: float) -> float:
    """The share, from 0 to 1, of the doubt about what has to be done that so many bits take away.

    The doubt is the entropy of the chances of all that may have to be done and of something unknown, as shares of one.
    """
    chances = [chance for _, chance in work if chance > 0] + ([unknown] if unknown > 0 else [])
    total = sum(chances)
    doubt = entropy(chances, total) if total > 0 else 0.0
    return min(1.0, bits / doubt) if doubt > 0 else 0.0


def narrows(share: float) -> str:
    """What a check does that takes away such a share of the doubt, as it is told to a mechanic."""
    return next((words for top, words in NARROWS if share < top), NEARLY_ALL)
