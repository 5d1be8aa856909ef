"""What people say of a machine that bears on danger, and what must then be said before anybody works on it."""

from __future__ import annotations

import re
from collections.abc import Iterable

SAID: tuple[tuple[str, str, str, str], ...] = (
    ("something is up", r"boom, bucket, blade, body or cab is up", "DANGER", r"is up|comes down|raised"),
    ("it can roll", r"stands on a slope|could roll", "DANGER", r"\broll"),
    ("it is in gear", r"lever is in gear", "DANGER", r"in gear|\broll"),
    ("it leaks", r"fuel or oil is leaking", "WARNING", r"leak"),
    ("it smokes", r"smoke, hot smell or a hot cable", "WARNING", r"[Ss]moke|hot smell"),
    ("traffic", r"traffic or other machines", "WARNING", r"traffic|other machines"),
    ("it was under water", r"water (stood|came) above", "DANGER", r"[Ww]ater"),
    ("a nest", r"mice|rats|nest", "WARNING", r"nests|droppings"),
    ("lightning", r"lightning", "DANGER", r"lightning|thunder"),
    ("it was welded", r"^welding", "WARNING", r"weld"),
    ("it was towed", r"towed or pushed", "DANGER", r"pushed or towed|pushes or tows"),
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


BULGED = "a battery that is bulged or frozen"

REVERSED = "a battery the wrong way round"

LEAST_PLUS = 5.0
"""A good reading above so many volts spans the battery: below zero, it or the probes are the wrong way round."""

SEEN: tuple[tuple[str, str, str, str], ...] = (
    (
        "a short behind the link",
        r"place of the (main )?link|^Ohms from the machine side of the main",
        r"bright|full light|^0[.]",
        r"dark|dim|OL|^[0-9]{2}",
    ),
    (REVERSED, r"^(Battery v|V)olts .*(at rest|lead off)", r"^-\d", r"^\d"),
    (BULGED, r"^Look at the .*battery", r"bulged|cracked|ice", r"sound|dry"),
    (
        "an engine that does not turn",
        r"^Turn the engine .* by hand",
        r"locked|does not|not turn|hard stop",
        r"free|even",
    ),
)
"""What a step shows: its words, the answer that tells the danger, and the answer that says it is over."""

UNDER_WATER = "it was under water"

BARS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("a short behind the link", ("power behind the link", "link in")),
    (REVERSED, ("START", "jump", "charge", "load test")),
    (BULGED, ("START", "jump", "charge", "load test")),
    ("an engine that does not turn", ("START",)),
    (UNDER_WATER, ("START",)),
)
"""What must not be asked for while a fact stands: current backwards or through ice, a crank against a stop or water,
power on a short. Common practice, no source."""


def seen(step: str, answer: str, good: str = "") -> tuple[set[str], set[str]]:
    """What a reading tells of danger, and what it says is so no more; `good` is what the page calls a good one."""
    there = {fact for fact, words, bad, _ in SEEN if re.search(words, step) and re.search(bad, answer)}
    over = {fact for fact, words, _, well in SEEN if re.search(words, step) and re.search(well, answer)} - there
    plus = re.match(r"([\d.]+) to .* V$", good)
    if plus and float(plus[1]) > LEAST_PLUS and re.match(r"-[1-9]", answer):
        there.add(REVERSED)
        over.discard(REVERSED)
    if re.search(r"^Turn the engine .* by hand", step) and not there:
        over.add(UNDER_WATER)
    return there, over


PUT_RIGHT = re.compile(r"Changed: .*: -[\d.]+(?: V)?; now \d")
"""What a page says of a figure below zero that was changed to one above it: the probes had been changed over."""


def put_right(lines: Iterable[str]) -> bool:
    """Whether a page says that minus volts were a slip."""
    return bool(PUT_RIGHT.search(" ".join(lines)))


def barred(facts: set[str], acts: set[str]) -> list[tuple[str, str]]:
    """Every act that a fact forbids: (act, fact)."""
    return [(act, fact) for fact, forbidden in BARS if fact in facts for act in forbidden if act in acts]
