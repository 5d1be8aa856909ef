"""What people say of a machine that bears on danger, and what must then be said before anybody works on it."""

from __future__ import annotations

import re

SAID: tuple[tuple[str, str, str, str], ...] = (
    ("something is up", r"boom, bucket, blade, body or cab is up", "DANGER", r"is up|comes down|raised"),
    ("it can roll", r"stands on a slope|could roll", "DANGER", r"\broll"),
    ("it is in gear", r"lever is in gear", "DANGER", r"in gear|\broll"),
    ("it leaks", r"fuel or oil is leaking", "WARNING", r"leak"),
    ("it smokes", r"smoke, hot smell or a hot cable", "WARNING", r"[Ss]moke|hot smell"),
    ("traffic", r"traffic or other machines", "WARNING", r"traffic|other machines"),
    ("it was under water", r"water stood above", "DANGER", r"[Ww]ater"),
    ("a nest", r"mice|rats|nest", "WARNING", r"nests|droppings"),
    ("lightning", r"lightning", "DANGER", r"lightning|thunder"),
    ("it was welded", r"^welding", "WARNING", r"weld"),
    ("it was towed", r"towed or pushed", "DANGER", r"pushed or towed|towed"),
    ("a cell boils", r"one cell boils", "DANGER", r"\bgas\b"),
    ("a wire for a fuse", r"a wire or foil was fitted", "WARNING", r"[Ss]moke|fed"),
)
"""A fact, the answer that says it, the least signal word and the words of its warning. Common practice, no source."""

SAFETY = ("something is up", "it can roll", "it is in gear", "it leaks", "it smokes", "traffic")
"""What one question asks for, all of it at once."""


def facts_of(step: str, answers: list[str]) -> tuple[set[str], set[str]]:
    """What an answer says, and what it says is so no more."""
    said = {fact for fact, pattern, *_ in SAID for text in answers if re.search(pattern, text)}
    asked = set(SAFETY) if "How does the machine stand" in step else set()
    return said, asked - said
