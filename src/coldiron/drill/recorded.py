"""A recorded drill: its number, and the lines that were typed."""

from __future__ import annotations

from coldiron.screens.transcript import split, typed

TITLE = "Drill"


def recorded(text: str) -> tuple[int, str]:
    """The seed of a recorded drill, and what was typed, one line each.

    Raises:
        ValueError: the text records no drill.
    """
    _, output = split(text)
    title = next((line for line in output.splitlines() if line), "").partition(" · ")[0]
    word, _, number = title.partition(" ")
    if word != TITLE or not number.isdecimal():
        raise ValueError("This file records no drill.")
    return int(number), "".join(f"{line}\n" for line in typed(output))
