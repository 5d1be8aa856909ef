"""A person's hands: what he types, and what he does beside what a page asks for."""

from __future__ import annotations

import random
import re

from yard.habits import LIARS, PLAIN
from yard.machine import POWER, noun, usual
from yard.page import Page
from yard.reckoner import Reckoner
from yard.screen import Screen


class Hands:
    """Somebody at a screen beside a machine.

    Args:
        screen: where he types.
        seed: of every choice that he makes.
        circuit: which of the circuits in the list his machine has, counted from 0; taken round where there are fewer.
        after: what he does again and again, to see what follows it; empty: anything.
    """

    def __init__(self, screen: Screen, seed: int, circuit: int = 0, after: str = "") -> None:
        self.screen = screen
        self.reckoner = Reckoner()
        self.machine = self.reckoner.machine
        self._chance = random.Random(f"{seed} {circuit} {after}")  # noqa: S311 - no secret
        self._circuit = circuit
        self._after = after
        self.plain = self._chance.random() < PLAIN
        self._bad = 0.1 if self.plain else self._chance.choice((0.15, 0.4, 0.8))
        self.slips = 0.01 if self.plain else 0.03
        self._lies = self._chance.random() < LIARS
        self._back_as = "same"
        self.mended = 0
        self._step = 0

    def _type(self, *lines: str) -> str:
        """Type lines until one is taken, which is given back; empty if none is."""
        return next((line for line in lines if line and not self.screen.type(line)), "")

    def _stuck(self) -> None:
        """Nothing that he can think of is taken: he walks away, and the walk ends."""
        self.screen.type("park")
        self.reckoner.counts["stuck"] += 1

    def _skip(self, page: Page, words: str = "skip") -> bool:
        taken = bool(self._type(words))
        if taken and page.kind != "repair":  # a repair that is declined is no step left half done
            self.reckoner.event("skip")
        return taken

    def _skip_in_the_middle(self, page: Page) -> bool:
        """He has set things as told, and goes no further; half the time he puts them back at once, and tells nobody."""
        for name, value in page.first:
            keeps = noun(name) not in POWER or self._chance.random() < 0.5
            self.machine.do(name, value if keeps else usual(name))
        self.machine.let_go()
        return self._skip(page)

    def _not_sure(self, page: Page) -> bool:
        return self._skip(page, "not sure")

    def _cannot_reach(self, page: Page) -> bool:
        return self._skip(page, "cannot reach")

    def _back(self, _: Page) -> bool:
        taken = bool(self._type("back"))
        if taken:
            self.reckoner.event("back")
        return taken

    def _change(self, _: Page) -> bool:
        """He changes one of his earlier answers to some other."""
        for _try in range(6):
            number = self._chance.randint(3, 30)
            value = self._chance.choice(("1", "2", "12.6", "0.1", "not sure"))
            if self._type(f"change {number} {value}"):
                self.reckoner.event("change")
                return True
        return False

    def _park(self, _: Page) -> bool:
        self._back_as = "same"
        if not self._type("park"):
            return False
        self.screen.come_back()
        self.reckoner.event("park")
        return True

    def _kill(self, _: Page) -> bool:
        self.screen.come_back()
        self.reckoner.event("resume")
        return True

    def _person(self, page: Page) -> bool:
        """Somebody else goes on with the parked job; he finds the machine as it is."""
        parked = self._park(page)
        self._back_as = "person"
        return parked

    def _others(self, page: Page) -> bool:
        """Somebody was at the machine, and put this or that back, as he thought fit."""
        parked = self._park(page)
        self._back_as = "others"
        for name in self.machine.left():
            if self._chance.random() < 0.5:
                self.machine.do(name, usual(name))
        return parked

    def _wait(self, _: Page) -> bool:
        """He is called away for a quarter of an hour, and comes back to the same page."""
        self.screen.wait(900)
        self.reckoner.event("wait")
        return False

    def _cranks_himself(self, _: Page) -> bool:
        """He turns the key on his own before he does the step; no page told him to, and he tells none."""
        self.machine.do("key switch", "start")
        self.machine.let_go()
        return False

    def _note(self, _: Page) -> bool:
        return bool(self._type("note looked at it again"))

    def _mend(self, page: Page) -> bool:
        """He repairs what is suspected most, unasked."""
        if page.kind == "repair" or not page.suspects:
            return False
        name = re.sub(r"\bthe\b|[:,]", "", self._chance.choice(page.suspects[:2]))
        if not self._type(f"done {name}"):
            return False
        if "First its cautions" not in " ".join(self.screen.lines()):
            self.reckoner.event("repair")
            self.mended += 1
        return True
