"""Chances and the worth of a check in the words of a workshop: never none and never all."""

from __future__ import annotations

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


def narrows(share: float) -> str:
    """What a check does that takes away such a share of the doubt, as it is told to a mechanic."""
    return next((words for top, words in NARROWS if share < top), NEARLY_ALL)
