"""From a word, a number or the beginning of a word to one choice of a list, or to several."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldiron.readings.other_words import in_book_words
from coldiron.readings.refusal import AnswerError

MOST_DIGITS = 9
"""Digits of the number of a choice that are looked at; there are never so many choices."""

SWEEPING = ("none", "all", "not sure")
"""Choices that answer everything at once: one letter is not enough to be sure that they were meant."""

PLAIN = {"y": "yes", "yes": "yes", "n": "no", "no": "no"}
"""What may be typed for a plain yes or no."""

ALONE = ("none", "all", "not sure")
"""Choices that stand by themselves where several may be named."""


def choose(text: str, choices: Iterable[tuple[str, str]]) -> str:
    """Pick a choice by its id, its words, its number or the beginning that only it has.

    Raises:
        AnswerError: nothing fits, or several do.
    """
    pairs = list(choices)
    wanted = " ".join(text.split()).lower()
    exact = [key for key, meaning in pairs if wanted in (key.lower(), meaning.lower(), key.replace("_", " ").lower())]
    if exact:
        return exact[0]
    if wanted.isdecimal() and len(wanted) <= MOST_DIGITS and 1 <= int(wanted) <= len(pairs):
        return pairs[int(wanted) - 1][0]
    begun = _begun(wanted, pairs) or _begun(in_book_words(wanted), pairs)
    if len(begun) == 1 and not _too_short(wanted, begun[0], dict(pairs)[begun[0]]):
        return begun[0]
    said = "is too short to be sure of" if len(begun) == 1 else "fits more than one choice"
    said = said if begun else "is none of the choices"
    raise AnswerError("not a choice", f"'{text}' {said}.", tuple(key for key, _ in pairs))


def _begun(wanted: str, pairs: Sequence[tuple[str, str]]) -> list[str]:
    """The choices whose id or words begin so; a plain yes or no begins no other word, such as nobody or yesterday."""
    if wanted in PLAIN:
        said = PLAIN[wanted]
        return [
            key for key, meaning in pairs if key == said or f"{meaning.lower()},".startswith((f"{said},", f"{said}:"))
        ]
    return [key for key, meaning in pairs if wanted and (key.startswith(wanted) or meaning.lower().startswith(wanted))]


def choose_several(text: str, choices: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Pick several choices, with commas between them, each once.

    Raises:
        AnswerError: one fits nothing or several, or two cannot both be so.
    """
    pairs = list(choices)
    whole = " ".join(text.split()).lower() in {meaning.lower() for _, meaning in pairs}  # a meaning may have commas
    named = tuple(dict.fromkeys(choose(word, pairs) for word in ([text] if whole else text.split(","))))
    wrong = _together(named)
    if wrong:
        raise AnswerError("not a choice", wrong, tuple(key for key, _ in pairs))
    return named


def _too_short(wanted: str, key: str, meaning: str) -> bool:
    """Whether what was typed is too little to choose something that answers everything at once."""
    if key.lower() not in SWEEPING and not meaning.lower().startswith(("none of", "all of")):
        return False
    return not any(f"{words} ".lower().startswith(f"{wanted} ") for words in (key, meaning))


def _together(names: Sequence[str]) -> str | None:
    """What is wrong with several choices that were named at once; None if nothing."""
    alone = next((name for name in names if name in ALONE), None)
    if alone is None or len(names) < 2:
        return None
    others = ", ".join(name for name in names if name != alone)
    return f"'{alone}' and '{others}' cannot both be so. Which is it?"
