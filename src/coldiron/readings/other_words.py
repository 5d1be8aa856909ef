"""Words that people type for what the book calls otherwise: another dialect, another shop, a short form."""

from __future__ import annotations

import re

OTHER_WORDS = {
    "isolator": "disconnect switch",
    "lamp": "light",
    "lamps": "lights",
    "plus": "positive",
    "minus": "negative",
    "earth": "ground",
    "mains": "ac power",
    "loom": "harness",
    "genset": "generator set",
    "generating": "generator",
    "equaliser": "equalizer",
    "immobiliser": "immobilizer",
    "park brake": "parking brake",
    "handbrake": "parking brake",
    "jump cable": "jumper cable",
    "jump lead": "jumper cable",
    "jump leads": "jumper cables",
    "tap": "valve",
    "gearbox": "transmission",
    "changeover": "transfer switch",
    "hired": "rented",
    "on hire": "rented",
    "low loader": "lowboy",
}
"""A word as it is typed, and the book's word for it. Common practice, no source."""

_TYPED = re.compile(rf"\b(?:{'|'.join(sorted(OTHER_WORDS, key=len, reverse=True))})\b", re.IGNORECASE)


def in_book_words(text: str) -> str:
    """A text with the book's words in place of others for the same things."""
    return _TYPED.sub(lambda found: OTHER_WORDS[found[0].lower()], text)
