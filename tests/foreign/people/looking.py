"""What eyes, hands, nose and ears find at a part: a sentence of the file, put to the answers a page offers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from foreign.record import Fault

MEANS: tuple[tuple[str, ...], ...] = (
    ("turns", "loose", "slack", "moves", "wobbl", "by hand", "slipped", "spins"),
    ("not reach", "passes beside", "passes short", "stops short", "bent", "slipped", "shims"),
    ("crust", "green", "white", "bloom", "corro", "rust", "wet", "black pin", "oil in", "packed"),
    ("apart", "off", "hangs", "pulled", "unplugged", "backed out", "missing", "gone", "empty"),
    ("melt", "blown", "burnt", "its wire is gone", "open"),
    ("rubbed", "bare", "chafed", "pierced", "screw", "cut", "gnawed", "bitten", "nicked", "strands", "broken", "torn"),
    ("brown", "charred", "dark"),
    ("bulged", "split", "frozen", "ice"),
    ("hot", "warm"),
    ("pressed", "on"),
)
"""Words that mean the same to somebody who looks."""


def found_at(faults: Iterable[Fault], trade_parts: Sequence[str]) -> list[str]:
    """The sentences of what is found at these parts."""
    sentences = []
    for fault in faults:
        for sense in (fault.looks, fault.feels, fault.smells, fault.hears):
            sentences += [text for part, text in sense.items() if part in trade_parts]
    return sentences


def choose(sentence: str, pairs: Sequence[tuple[str, str]], good: str) -> str | None:
    """The answer whose words mean what was found; nothing where none does."""
    told = sentence.lower()
    for same in MEANS:
        if any(word in told for word in same):
            for choice, meaning in pairs:
                if choice != good and any(word in f"{choice} {meaning}".lower() for word in same):
                    return choice
    return None
