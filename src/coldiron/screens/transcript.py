"""Recorded consultations: what the plain screen wrote, with what was typed, in one file that can be replayed.

The first lines, up to the first empty one, begin with `#` and say what is shown and how to replay it. Everything after
is what the plain screen writes, byte for byte; what was typed stands after the ` > ` of each prompt.
"""

from __future__ import annotations

import re

PROMPT = re.compile(r"^(?:Volts|Amps|Ohms|Your answer|What do you do\?|Still so\?|[A-Z][A-Z ,]*\?) > (.*)$")


def split(text: str) -> tuple[str, str]:
    """The header and the recorded output of a transcript."""
    header, _, recorded = text.partition("\n\n")
    return header, recorded


def typed(recorded: str) -> tuple[str, ...]:
    """The lines that were typed, in order."""
    found = (PROMPT.match(line) for line in recorded.splitlines())
    return tuple(match.group(1) for match in found if match)
