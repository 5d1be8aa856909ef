"""What people type for the words of a prompt: nobody beside a machine looks up which word was meant."""

from __future__ import annotations

from collections.abc import Iterable

_SAID = {
    "park": ("quit", "exit", "q", "bye", "stop", "close", "leave", "goodbye", "end", "finish"),
    "back": ("undo", "go back", "take it back", "take that back"),
    "cannot reach": (
        *("can't reach", "cant reach", "can not reach", "can't get at it", "cant get at it", "cannot get at it"),
        *("can't reach it", "cannot reach it", "out of reach", "no access", "unreachable"),
    ),
    "not sure": (
        *("don't know", "dont know", "do not know", "i don't know", "dunno", "no idea", "no clue", "not known"),
        *("unsure", "idk", "can't tell", "cant tell", "cannot tell", "no one knows", "nobody knows"),
    ),
    "not fitted": ("not there", "n/a", "na", "not present", "there is none", "it has none", "not applicable"),
    "again": ("repeat", "once more", "take it again", "measure again", "redo"),
    "help": ("?", "h"),
}
MEANT = {said: word for word, spellings in _SAID.items() for said in spellings}
"""What a whole line means that stands for one of the words of the prompt."""

_SIGNS = str.maketrans("\u2019\u2018\u00b4`", "''''")


def plain(line: str, choices: Iterable[str]) -> str:
    """The line as one of the words of the prompt if it means one, else the line itself.

    Args:
        line: what was typed, blanks in order.
        choices: what can be chosen now, words and meanings: what is a choice by itself is never taken for a word.
    """
    said = line.lower().translate(_SIGNS).rstrip(".! ")
    if said in MEANT and said not in {choice.lower() for choice in choices}:
        return MEANT[said]
    return line
