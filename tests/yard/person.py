"""Simulated people: they answer, skip, misread, lie about what they have seen, walk away, come back, are replaced.

A person does to the machine what he does, and tells what he tells; both are written down apart.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

from yard.habits import MISCHIEF, READINGS
from yard.machine import POWER, noun, usual
from yard.page import Page, read
from yard.reckoner import Reckoner
from yard.screen import Screen


class Person:
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
        self._bad = self._chance.choice((0.15, 0.4, 0.8))
        self.mended = 0
        self._step = 0

    def walk(self, pages: int) -> Iterator[Page]:
        """Every page that he sees, until the job is over or he has seen enough."""
        for _ in range(pages):
            page = read(self.screen.lines())
            self.reckoner.see(page)
            yield page
            if not page.prompt or page.kind in ("end", "nothing"):
                return
            self._act(page)

    def _act(self, page: Page) -> None:
        """One thing that he does at a page."""
        if page.kind == "before":
            self._at_caution(page)
        elif page.kind == "tell":
            self._at_question(page)
        else:
            self._at_work(page)

    # -- typing

    def _type(self, *lines: str) -> bool:
        """Type lines until one is taken."""
        return any(line and not self.screen.type(line) for line in lines)

    # -- cautions

    def _at_caution(self, page: Page) -> None:
        if self._chance.random() < 0.06 and self._type("skip"):
            self.reckoner.event("skip")
        elif self._chance.random() < 0.04 and self._type("back"):
            self.reckoner.event("back")
        elif not self._type(page.word):  # whether he has looked, or lies
            self._stuck()

    # -- questions

    def _at_question(self, page: Page) -> None:
        options = [text for _, text in page.choices]
        for number, text in page.choices:
            if text.startswith("list: "):
                self._type(number)
                return
        if "most like it" in page.step:
            names = [n for n, text in page.choices if "nobody knows" not in text]
            self._type(names[self._circuit % len(names)])
            return
        if "volt" in page.step.lower() and options[:2] == ["12 V", "24 V"]:
            self._type("12 V" if self._circuit % 2 == 0 else "24 V")
            return
        if "have you at hand" in page.step:
            self._type("all")
            return
        if "How does the machine stand" in page.step:
            quiet = page.choices[-1][0]
            self._type(quiet if self._chance.random() < 0.7 else self._chance.choice(page.choices)[0])
            return
        if self._chance.random() < 0.3 and self._type("not sure"):
            return
        picks = self._chance.sample([number for number, _ in page.choices], len(page.choices)) or ["not sure"]
        if not self._type(*picks, "not sure", "skip"):
            self._stuck()

    # -- work

    def _at_work(self, page: Page) -> None:
        self._step += 1
        move = self._move(page)
        if move and getattr(self, f"_{move}")(page):
            return
        if page.kind == "repair":
            self._repairs()
        else:
            self._does(page)

    def _move(self, page: Page) -> str:
        if self._after:
            return self._after if page.kind != "repair" and self._step % 4 == 0 else ""
        if self._chance.random() * 100 >= sum(MISCHIEF.values()):
            return ""
        return self._chance.choices(list(MISCHIEF), weights=list(MISCHIEF.values()))[0]

    def _does(self, page: Page) -> None:
        """He does the step as it stands there, and says what he saw."""
        self._notices()
        answer, words = self._sees(page)
        self.reckoner.done(page)
        if found := re.match(r"Put back: (.+?) to '([^']+)'", page.step):
            self.machine.do(found[1], found[2])
            self.machine.tell(found[1], found[2])
        if self._type(answer, answer, *(number for number, _ in page.choices), *READINGS.get(page.prompt, ()), "all"):
            self.reckoner.found(page, words)
        elif not self._skip(page):
            self._stuck()

    def _sees(self, page: Page) -> tuple[str, str]:
        """What he types, and what it means."""
        good = page.said.get("Good", "")
        well = self._chance.random() >= (0.03 if self.mended else self._bad)
        if page.choices:
            numbers = dict(page.choices)
            fits = [n for n, text in page.choices if good and good in text] or [
                n for n, text in page.choices if text.startswith(("works", "done", "it is back", "all"))
            ]
            pick = fits[0] if well and fits else self._chance.choice(list(numbers))
            return pick, numbers[pick]
        if well and (figures := re.findall(r"-?[\d.]+", good)):
            value = float(figures[0])
            shown = "OL" if "open line" in good else f"{value * (0.5 if 'under' in good else 1.01):.3g}"
            return shown, "good"
        return self._chance.choice(READINGS.get(page.prompt, ("1",))), "odd"

    def _notices(self) -> None:
        """With the power off by his own hand, which he told nobody, nothing works: he sees it and puts it back."""
        for name, value in list(self.machine.real.items()):
            if noun(name) in POWER and value != usual(name) and name not in self.machine.told_off():
                self.machine.do(name, usual(name))

    def _repairs(self) -> None:
        if self._chance.random() < 0.25 and self._type("no", "2"):
            return
        if self._type("done", "1"):
            self.mended += 1
            self.reckoner.event("repair")
            self.reckoner.facts.clear()
        else:
            self._stuck()

    # -- what else he does

    def _skip(self, _: Page, words: str = "skip") -> bool:
        taken = self._type(words)
        if taken:
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
        taken = self._type("back")
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
        return self._park(page)

    def _cranks_himself(self, _: Page) -> bool:
        """He turns the key on his own before he does the step; no page told him to, and he tells none."""
        self.machine.do("key switch", "start")
        self.machine.let_go()
        return False

    def _note(self, _: Page) -> bool:
        return self._type("note looked at it again")

    def _mend(self, page: Page) -> bool:
        """He repairs what is suspected most, unasked."""
        if page.kind == "repair" or not page.suspects:
            return False
        name = re.sub(r"\bthe\b|[:,]", "", self._chance.choice(page.suspects[:2]))
        if not self._type(f"done {name}"):
            return False
        self.reckoner.event("repair" if "repair is done" in " ".join(self.screen.lines()) else "back")
        self.mended += 1
        return True

    def _stuck(self) -> None:
        """Nothing that he can think of is taken: he walks away, and the walk ends."""
        self.screen.type("park")
        self.reckoner.counts["stuck"] += 1
