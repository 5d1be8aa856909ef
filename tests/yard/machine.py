"""How the machine really stands: kept from what a person did to it, and beside it what he said he did.

Every value that a page can ask for is told by its noun and by what is usual: a lead is on, a link in, a jumper off.
"""

from __future__ import annotations

import re

NOUNS: tuple[tuple[str, str, str], ...] = (
    ("button", r"remote start button|remote button", "off"),
    ("contact", r"remote start contact", "open"),
    ("stop wire", r"stop wire", "on"),
    ("knob", r"stop knob", "released"),
    ("jumper", r"jumper", "off"),
    ("booster", r"booster|jump pack", "off"),
    ("charger", r"charger", "off"),
    ("plug", r"\bplug of", "in"),
    ("relay", r"relay in its socket|^start relay$", "in"),
    ("fuse", r"\bfuse\b", "in"),
    ("start wire", r"start wire", "on"),
    ("stop button", r"emergency stop", "out"),
    ("mode", r"mode of the set", "hand"),
    ("lead", r"\b(ground|negative|battery) lead|lead on the battery", "on"),
    ("link", r"\blinks?\b", "in"),
    ("disconnect", r"disconnect switch", "on"),
    ("neutral", r"neutral|drive lever", "in"),
    ("seat", r"\bseat\b", "occupied"),
    ("brake", r"park(ing)? brake", "set"),
    ("lock lever", r"lock lever", "locked"),
    ("fuel", r"\bfuel\b", "on"),
    ("lights", r"lights?\b", "off"),
    ("key", r"\bkey\b", "off"),
)
"""What is meant by the words of a setting, and how it stands on a machine that works. Common practice, no source."""

HURTS = frozenset(
    (
        "button",
        "contact",
        "stop wire",
        "jumper",
        "booster",
        "charger",
        "plug",
        "relay",
        "fuse",
        "start wire",
        "stop button",
        "lead",
        "link",
        "disconnect",
        "neutral",
        "brake",
        "lock lever",
    )
)
"""What must not stay off, out, open, on or bridged when the machine goes back to its owner."""

POWER = ("lead", "link", "disconnect")
"""With one of these open nothing turns, so whoever wants to crank sees it."""

HELD = {("key", "start"): "on", ("button", "pressed"): "fitted"}
"""What lasts only as long as a hand holds it, and what it comes to by itself: the key springs back, the button is let
go but hangs between stud and terminal."""


def noun(name: str) -> str:
    """What the name of a setting means; the name itself where it is none of these."""
    return next((word for word, pattern, _ in NOUNS if re.search(pattern, name)), name)


def usual(name: str) -> str:
    """How it stands on a machine that works; empty where nobody knows."""
    return next((value for word, _, value in NOUNS if word == noun(name)), "")


class Machine:
    """One machine: by the name that a page gives a thing, how it is and how it was said to be.

    `facts` are what was said or found of it that bears on danger, as `yard.facts` names them.
    """

    def __init__(self) -> None:
        self.real: dict[str, str] = {}
        self.told: dict[str, str] = {}
        self.facts: set[str] = set()

    def do(self, name: str, value: str) -> None:
        """A hand sets something, and tells nobody."""
        self.real[name] = value

    def tell(self, name: str, value: str) -> None:
        """The person says to the program how it stands."""
        self.told[name] = value

    def let_go(self) -> None:
        """The hands are taken off: what was only held comes back."""
        for name, value in list(self.real.items()):
            after = HELD.get((noun(name), value))
            if after:
                self.real[name] = after
                if name in self.told:
                    self.told[name] = after

    def value(self, word: str) -> str:
        """How the thing of that noun really stands."""
        found = [value for name, value in self.real.items() if noun(name) == word]
        return found[-1] if found else next((value for known, _, value in NOUNS if known == word), "")

    def moves(self, first: list[tuple[str, str]]) -> dict[str, str]:
        """What a page really asks to be moved: noun and new value, where it does not stand so."""
        return {noun(name): value for name, value in first if self.real.get(name, usual(name)) != value}

    def left(self) -> list[str]:
        """What can hurt and really stands otherwise than on a machine that works."""
        return [name for name, value in self.real.items() if noun(name) in HURTS and value != usual(name)]

    def told_off(self) -> list[str]:
        """What can hurt and was said to stand otherwise than on a machine that works."""
        return [name for name, value in self.told.items() if noun(name) in HURTS and value != usual(name)]
