"""Whether a text says a phrase: whole words in their order, not denied."""

from __future__ import annotations

import re
from functools import lru_cache

MOST_BETWEEN = 4
"""So many other words may stand between two of a phrase where it has two dots, or behind a word that denies it."""

_DENIED = re.compile(
    rf"\b(?:never|cannot|not|no|nor|nobody|without)(?:[^\w.]+\w+){{0,{MOST_BETWEEN}}}[^\w.]*$", re.IGNORECASE
)


def says(text: str, phrase: str) -> bool:
    """Whether a text says a phrase and does not deny it in the same sentence."""
    if phrase.partition(" ")[0] not in text.lower():
        return False
    return any(not _DENIED.search(text[: found.start()]) for found in _pattern(phrase).finditer(text))


def listed(text: str) -> tuple[str, ...]:
    """The phrases of a line, with commas between them."""
    return tuple(phrase for phrase in (" ".join(part.split()) for part in text.split(",")) if phrase)


@lru_cache(maxsize=1_000)
def _pattern(phrase: str) -> re.Pattern[str]:
    """A phrase as a pattern: whole words of one sentence, any case, two dots for some words between."""
    pieces = [re.escape(piece).replace(r"\ ", r"[^\w.]+") for piece in re.split(r"\s*\.\.\s*", phrase)]
    between = rf"(?:[^\w.]+\w+){{0,{MOST_BETWEEN}}}[^\w.]+"
    return re.compile(rf"\b{between.join(pieces)}\b", re.IGNORECASE)
