"""What people answer to what is asked of the machine: what they try to type, in order, and what each says."""

from __future__ import annotations

import random
import re
from dataclasses import replace

from yard.machine import noun
from yard.page import Page

FIXED = (("What tools do you have", "all"),)
"""Questions with an answer that keeps every check open."""

BY_FEATURES = 3
"""One in so many people never asks for the list of circuits: he answers what is asked of the machine."""

QUIET = 0.7
"""How many machines stand down, level and quiet."""

CALM = re.compile(
    r"nothing of the kind|no smell|^neither|^mild|oil looks right|^sound|saw each one|nobody is"
    r"|out: |: no$|^gone|^clear"
)
"""Answers of somebody on whose machine nothing is dangerous."""


def answers(page: Page, chance: random.Random, circuit: int, *, calm: bool = False) -> list[tuple[str, str]]:
    """Lines to try, each with what it says; `circuit` is the place in the list of circuits, `calm` that all is well."""
    quiet = 1.0 if calm else QUIET
    for words, line in FIXED:
        if words in page.step:
            return [(line, line)]
    listed = [number for number, text in page.choices if text.startswith("list: ")]
    if listed and circuit % BY_FEATURES:
        return [(listed[0], "")]
    if listed:
        page = replace(page, choices=[row for row in page.choices if row[0] not in listed])
    if "most like it" in page.step:
        names = [number for number, text in page.choices if "nobody knows" not in text]
        return [(names[circuit % len(names)], "")]
    if [text for _, text in page.choices][:2] == ["12 V", "24 V"]:
        return [("12 V" if circuit % 2 == 0 else "24 V", "")]
    if "How does the machine stand" in page.step:
        return [page.choices[-1] if chance.random() < quiet else chance.choice(page.choices)]
    if (well := [row for row in page.choices if CALM.search(row[1])]) and chance.random() < quiet:
        return [well[-1], *page.choices]
    unsure = [("not sure", ""), ("skip", "")]
    if chance.random() < 0.3:
        return [*unsure, *page.choices]
    return [*chance.sample(page.choices, len(page.choices)), *unsure]


def alike(name: str, choices: list[tuple[str, str]]) -> str:
    """The number of the choice that speaks of the same thing, by its noun and by the words that both have."""
    same = [(number, text) for number, text in choices if meant(text) == noun(name)]
    ours = set(name.split())
    return max(same, key=lambda choice: len(ours & set(choice[1].split())))[0] if same else ""


def meant(words: str) -> str:
    """The noun of what is told in a sentence, `the start relay is out of its socket`: what stands before the verb."""
    thing, verb, _ = re.sub(r"^(\w+): .*", r"\1 is", words).partition(" is ")
    return noun(f"{thing} in its socket" if verb and thing.endswith("relay") else thing.removesuffix(" is"))
