"""The keywords of the language: which lines each block takes, whether a line must be there, and how often.

Contexts are named after block openers; the two inner ones are `fault` (in a kind) and `answer` (in a question).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldiron.record import dataclass

Often = Literal["once", "text", "many"]


@dataclass(frozen=True, slots=True)
class Line:
    """How a keyword may stand in its block. `text` may be repeated, which makes one text of the lines."""

    often: Often
    needed: bool = False


ONE, ONE_NEEDED = Line("once"), Line("once", needed=True)
TEXT, TEXT_NEEDED = Line("text"), Line("text", needed=True)
MANY, MANY_NEEDED = Line("many"), Line("many", needed=True)

NAMED = {"name": TEXT_NEEDED}
GROUNDED = {"because": TEXT_NEEDED, "source": TEXT_NEEDED}

LINES: Mapping[str, Mapping[str, Line]] = {
    "setting": {**NAMED, "values": MANY_NEEDED, "normal": ONE_NEEDED, "springs": ONE, "confirm": MANY, "takes": ONE},
    "kit": NAMED,
    "area": {**NAMED, "takes": ONE_NEEDED, "beside": ONE},
    "point": {**NAMED, "area": ONE_NEEDED},
    "topic": NAMED,
    "fact": NAMED,
    "kind": {**NAMED, "acts": ONE_NEEDED, "ends": ONE, "value": MANY, "fault": MANY},
    "fault": {
        **NAMED,
        "odds": ONE_NEEDED,
        "becomes": MANY,
        "adds": MANY,
        "leaks": MANY,
        "sets": MANY,
        "scales": MANY,
        "shows": MANY,
        "comes": ONE,
        "renews": ONE,
        "repair": TEXT_NEEDED,
        "takes": ONE_NEEDED,
        "waits": ONE,
        "proof": TEXT_NEEDED,
        "damages": TEXT,
        "warns": MANY,
        "source": TEXT,
    },
    "piece": {**NAMED, "ends": MANY_NEEDED, "part": MANY_NEEDED},
    "circuit": {
        **NAMED,
        "about": TEXT,
        "volts": ONE_NEEDED,
        "batteries": ONE_NEEDED,
        "uses": MANY_NEEDED,
        "has": MANY,
        "common": ONE,
        "odds": MANY,
    },
    "trait": {
        **NAMED,
        "ask": TEXT_NEEDED,
        "how": TEXT,
        "takes": ONE_NEEDED,
        "answer": MANY_NEEDED,
        **GROUNDED,
    },
    "chain": {"cause": ONE_NEEDED, "victim": ONE_NEEDED, "chance": ONE_NEEDED, **GROUNDED},
    "complaint": {**NAMED, "sees": MANY},
    "question": {
        "ask": TEXT_NEEDED,
        "stage": ONE_NEEDED,
        "before": MANY,
        "topic": ONE_NEEDED,
        "takes": ONE_NEEDED,
        "several": ONE,
        "answer": MANY_NEEDED,
        **GROUNDED,
    },
    "answer": {"warns": MANY, "shift": MANY},
    "check": {
        "each": MANY,
        "ask": TEXT_NEEDED,
        "how": TEXT_NEEDED,
        "reads": ONE_NEEDED,
        "state": MANY,
        "takes": ONE_NEEDED,
        "area": ONE,
        "kit": MANY,
        "warns": MANY,
        "finding": MANY_NEEDED,
        "good": ONE_NEEDED,
        "wrong": ONE_NEEDED,
        "spread": ONE,
        "source": TEXT_NEEDED,
    },
    "code": {
        **NAMED,
        "spn": ONE_NEEDED,
        "fmi": MANY_NEEDED,
        "says": TEXT_NEEDED,
        "topic": ONE_NEEDED,
        "shift": MANY,
        **GROUNDED,
    },
    "caution": {
        "word": ONE_NEEDED,
        "hazard": TEXT_NEEDED,
        "harm": TEXT_NEEDED,
        "avoid": TEXT_NEEDED,
        "type": TEXT,
        "due": MANY,
        "until": MANY_NEEDED,
        "source": TEXT_NEEDED,
    },
    "action": {
        **NAMED,
        "when": MANY,
        "says": MANY,
        "needs": MANY,
        "stands": MANY,
        **GROUNDED,
    },
    "danger": {
        **NAMED,
        "told": MANY_NEEDED,
        "bars": MANY,
        "lifted": MANY,
        "now": TEXT,
        "warns": MANY,
        **GROUNDED,
    },
    "function": {
        **NAMED,
        "ask": TEXT_NEEDED,
        "how": TEXT,
        "has": MANY,
        "if": ONE,
        "reads": ONE,
        "good": MANY,
        "state": MANY,
        "takes": ONE_NEEDED,
        "area": ONE_NEEDED,
        "kit": MANY,
        "warns": MANY,
        "sees": MANY,
        "otherwise": TEXT_NEEDED,
        "until": TEXT_NEEDED,
        "keeps": ONE,
        **GROUNDED,
    },
    "rule": {"for": ONE, "when": ONE_NEEDED, "and": MANY, "then": MANY_NEEDED, **GROUNDED},
    "case": {
        **NAMED,
        "circuit": ONE_NEEDED,
        "complaint": ONE_NEEDED,
        "given": MANY,
        "repaired": MANY,
        "expect": MANY_NEEDED,
        "source": TEXT_NEEDED,
    },
}
"""The lines of every block, by opener."""

SMALL_WORDS: tuple[str, ...] = (
    *("any", "at", "by", "from", "is", "not", "of", "or", "and", "to", "through", "times", "with", "when", "then"),
    *("odd", "taken", "above", "below", "part", "before", "after", "once", "day"),
)
"""Words of the language that no entry may have as its id."""

INNER: Mapping[str, str] = {"fault": "kind", "answer": "question"}
"""Blocks inside a block, and in which."""

OPENERS: tuple[str, ...] = tuple(opener for opener in LINES if opener not in INNER)
"""What a line may open with at column 1."""


def lines_of(opener: str) -> Mapping[str, Line]:
    """Return the lines a block takes; none for an unknown opener."""
    return LINES.get(opener, {})
